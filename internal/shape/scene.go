package shape

import (
	"encoding/binary"
	"math"

	"tuckring/internal/figure"
)

// Where the numbers of an instance stand in it: its place in mm, yaw and tilt in radians, scale, and the index of
// its colour.
const (
	AtX = iota
	AtY
	AtZ
	AtYaw
	AtTilt
	AtScale
	AtColour
	Stride // how many numbers an instance has
)

// AppendInstances appends every spot of the placement, in order, as Stride little-endian float32
// numbers each. A unit's turning is three's Euler(tilt, yaw, 0, "YXZ"); the scale is of the mesh.
func (p *Placement) AppendInstances(b []byte) []byte {
	at := len(b)
	b = append(b, make([]byte, 4*Stride*len(p.Spots))...)
	for i := range p.Spots {
		s := &p.Spots[i]
		for _, v := range [Stride]float64{AtX: s.X, AtY: s.Y, AtZ: s.Z, AtYaw: s.Yaw, AtTilt: s.Tilt, AtScale: 1, AtColour: float64(s.Colour)} {
			binary.LittleEndian.PutUint32(b[at:], math.Float32bits(float32(v)))
			at += 4
		}
	}
	return b
}

// Scene is what a viewer needs beside the instances, as JSON: the mesh of one unit, which instances
// belong to which ring and extra, the glued pieces, and the bounds. Lengths in mm, angles in radians.
type Scene struct {
	Stride     int          `json:"stride"`
	Count      int          `json:"count"`
	Unit       SceneUnit    `json:"unit"`
	Rings      []SceneRing  `json:"rings"`
	Extras     []SceneExtra `json:"extras"`
	Pieces     []ScenePiece `json:"pieces"`
	Height     float64      `json:"height_mm"`
	Radius     float64      `json:"radius_mm"`
	Calibrated bool         `json:"calibrated"`
	Low        float64      `json:"low"`  // a width may come out this many times as long, at the least
	High       float64      `json:"high"` // and at the most
}

// SceneUnit is the mesh of a unit. Parts are runs of indices.
type SceneUnit struct {
	Positions []float32   `json:"positions"`
	Normals   []float32   `json:"normals"`
	Indices   []uint16    `json:"indices"`
	Parts     []ScenePart `json:"parts"`
	LegMM     float64     `json:"leg_mm"`
}

// ScenePart is a part of the unit's mesh that is drawn in one go.
type ScenePart struct {
	Name  string `json:"name"`
	First int    `json:"first"`
	Count int    `json:"count"`
}

// SceneRing tells which instances are a ring's units, where it stands, and how its units tilt with
// either side out, so that a viewer can turn a unit at once when its side changes.
type SceneRing struct {
	ID        figure.RingID `json:"id"`
	First     int           `json:"first"`
	Count     int           `json:"count"`
	Radius    float64       `json:"radius_mm"`
	Y         float64       `json:"y_mm"`
	LongTilt  float64       `json:"long_tilt"`
	ShortTilt float64       `json:"short_tilt"`
}

// SceneExtra tells which instances are a tucked extra's units.
type SceneExtra struct {
	Key   figure.ExtraID `json:"key"`
	First int            `json:"first"`
	Count int            `json:"count"`
}

// ScenePiece is a glued piece: its outline lies around (x, y, z), turned by tilt about x and then by
// yaw about y. Colour is −1 for a piece of no colour of the figure.
type ScenePiece struct {
	Key     figure.ExtraID `json:"key"`
	X       float64        `json:"x"`
	Y       float64        `json:"y"`
	Z       float64        `json:"z"`
	Yaw     float64        `json:"yaw"`
	Tilt    float64        `json:"tilt"`
	Colour  int            `json:"colour"`
	Outline [][2]float64   `json:"outline"`
}

// Scene describes the placement of the given figure for a viewer. A figure of more than DetailedUnits
// gets the plain unit, since its pockets are too small to be seen.
func (p *Placement) Scene(f *figure.Figure) Scene {
	solid := p.solid()
	s := Scene{
		Stride: Stride, Count: len(p.Spots), Height: p.Size.Height.Best, Radius: p.RadiusMM, Calibrated: p.Gauge.Calibrated,
		Low: p.Size.Diameter.Low / p.Size.Diameter.Best, High: p.Size.Diameter.High / p.Size.Diameter.Best,
		Unit:   SceneUnit{Positions: solid.Positions, Normals: solid.Normals, Indices: solid.Indices, LegMM: p.Measures.LegMM},
		Extras: []SceneExtra{}, Pieces: []ScenePiece{},
	}
	for _, part := range solid.Parts {
		s.Unit.Parts = append(s.Unit.Parts, ScenePart(part))
	}
	for i, r := range p.Rings {
		s.Rings = append(s.Rings, SceneRing{
			ID: f.Rings[i].ID, First: r.First, Count: r.Count, Radius: r.RadiusMM, Y: r.Y,
			LongTilt: r.Tilt[figure.Long], ShortTilt: r.Tilt[figure.Short],
		})
	}
	for _, e := range p.Extras {
		s.Extras = append(s.Extras, SceneExtra{Key: e.ID, First: e.First, Count: e.Count})
	}
	for _, q := range p.Pieces {
		s.Pieces = append(s.Pieces, ScenePiece{Key: q.ID, X: q.X, Y: q.Y, Z: q.Z, Yaw: q.Azimuth, Tilt: q.Tilt, Colour: q.Colour, Outline: q.Outline})
	}
	return s
}
