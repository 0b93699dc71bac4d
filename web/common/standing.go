package common

import (
	"encoding/binary"
	"encoding/json"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
	"tuckring/internal/wire"
	"tuckring/internal/words"
)

// Places is a standing figure as pages read it: the scene as JSON, led by its length, and every unit's place.
func Places(f *figure.Figure, p *shape.Placement, rev int64, about []words.Text, say *words.Speaker) ([]byte, error) {
	said := make([]string, len(about))
	for i, t := range about {
		said[i] = say.Say(t)
	}
	scene, err := json.Marshal(wire.Scene{Scene: p.Scene(f), Rev: rev, About: said})
	if err != nil {
		return nil, err
	}
	scene = append(scene, strings.Repeat(" ", -len(scene)&3)...)
	out := append(binary.LittleEndian.AppendUint32(make([]byte, 0, 4+len(scene)+4*shape.Stride*len(p.Spots)), uint32(len(scene))), scene...)
	return p.AppendInstances(out), nil
}
