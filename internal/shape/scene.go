package shape

import (
	"encoding/binary"
	"math"

	"tuckring/internal/figure"
)

// Where the numbers of an instance stand in it: its place in mm, yaw, tilt and azimuth in radians, all in the frame whose
// index comes then, and the index of its colour.
const (
	AtX = iota
	AtY
	AtZ
	AtYaw
	AtTilt
	AtAzimuth
	AtFrame
	AtColour
	Stride // how many numbers an instance has
)

// AppendInstances appends every spot of the placement, in order, as Stride little-endian float32
// numbers each. A unit's turning is three's Euler(tilt, yaw, 0, "YXZ"), then that of its frame.
func (p *Placement) AppendInstances(b []byte) []byte {
	at := len(b)
	b = append(b, make([]byte, 4*Stride*len(p.Spots))...)
	for i := range p.Spots {
		s := &p.Spots[i]
		for _, v := range [Stride]float64{AtX: s.X, AtY: s.Y, AtZ: s.Z, AtYaw: s.Yaw, AtTilt: s.Tilt, AtAzimuth: s.Azimuth, AtFrame: float64(s.In), AtColour: float64(s.Colour)} {
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
	Frames     [][]float64  `json:"frames"` // where each stands: four columns of four numbers, as three's Matrix4 has them, in mm
	Parts      []ScenePart  `json:"parts"`  // none in a figure of one
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
	Parts     []SceneLeaf `json:"parts"`
	LegMM     float64     `json:"leg_mm"`
}

// SceneLeaf is a part of the unit's mesh that is drawn in one go.
type SceneLeaf struct {
	Name  string `json:"name"`
	First int    `json:"first"`
	Count int    `json:"count"`
}

// ScenePart is a part of the figure. Apart is where it goes when the parts are pulled apart, in mm, for those that it carries too.
type ScenePart struct {
	ID    figure.PartID `json:"id"`
	Name  string        `json:"name"`
	Apart [3]float64    `json:"apart"`
}

// SceneRing tells which instances are a ring's units, where it stands, and how its units tilt with
// either side out, so that a viewer can turn a unit at once when its side changes.
type SceneRing struct {
	ID        figure.RingID `json:"id"`
	Part      int           `json:"part"` // index of its part
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
	Part  int            `json:"part"`
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
	Frame   int            `json:"frame"`
	Part    int            `json:"part"`
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
		Extras: []SceneExtra{}, Pieces: []ScenePiece{}, Frames: p.sceneFrames(), Parts: p.sceneParts(f),
	}
	for _, part := range solid.Parts {
		s.Unit.Parts = append(s.Unit.Parts, SceneLeaf(part))
	}
	for i, r := range p.Rings {
		s.Rings = append(s.Rings, SceneRing{
			ID: f.Rings[i].ID, Part: f.PartOf(i), First: r.First, Count: r.Count, Radius: r.RadiusMM, Y: r.Y,
			LongTilt: r.Tilt[figure.Long], ShortTilt: r.Tilt[figure.Short],
		})
	}
	of := map[figure.ExtraID]int{}
	for i := range f.Extras {
		of[f.Extras[i].ID] = f.PartOf(f.Extras[i].RingIndex())
	}
	for _, e := range p.Extras {
		s.Extras = append(s.Extras, SceneExtra{Key: e.ID, Part: of[e.ID], First: e.First, Count: e.Count})
	}
	for _, q := range p.Pieces {
		s.Pieces = append(s.Pieces, ScenePiece{Key: q.ID, X: q.X, Y: q.Y, Z: q.Z, Yaw: q.Azimuth, Tilt: q.Tilt, Colour: q.Colour, Frame: int(q.In), Part: of[q.ID], Outline: q.Outline})
	}
	return s
}

func (p *Placement) sceneFrames() [][]float64 {
	out := make([][]float64, len(p.Frames))
	for i, fr := range p.Frames {
		m := make([]float64, 16)
		for row := range 3 {
			for column := range 3 {
				m[4*column+row] = fr.Turn[row][column]
			}
			m[12+row] = fr.At[row]
		}
		m[15] = 1
		out[i] = m
	}
	return out
}

// apartLegs is how far a part is pulled away from the one that carries it, in legs, to look at all of it (from memory).
const apartLegs = 3.5

// sceneParts are the parts, and where each goes when they are pulled apart: away from where it stands on the one that
// carries it, towards its own middle.
func (p *Placement) sceneParts(f *figure.Figure) []ScenePart {
	out := make([]ScenePart, len(f.Parts))
	for k := range f.Parts {
		part := &f.Parts[k]
		out[k] = ScenePart{ID: part.ID, Name: part.Name}
		if k == 0 {
			continue
		}
		on := part.Grows
		if part.Set != nil {
			on = part.Set.On
		}
		base, _ := f.RingIndex(on)
		carrier := f.PartOf(base)
		var way [3]float64
		from, to := p.middleOf(f, carrier), p.middleOf(f, k)
		far := 0.0
		for i := range way {
			way[i] = to[i] - from[i]
			far += way[i] * way[i]
		}
		if far = math.Sqrt(far); far == 0 {
			way, far = upward, 1
		}
		for i := range way {
			out[k].Apart[i] = out[carrier].Apart[i] + way[i]/far*apartLegs*p.Measures.LegMM
		}
	}
	return out
}

// middleOf is the middle of the units of a part.
func (p *Placement) middleOf(f *figure.Figure, k int) (out [3]float64) {
	first := f.Parts[k].First
	last := p.Rings[first+f.Parts[k].Rows-1]
	spots := p.Spots[p.Rings[first].First : last.First+last.Count]
	for i := range spots {
		for axis, v := range p.Middle(&spots[i]) {
			out[axis] += v / float64(len(spots))
		}
	}
	return out
}
