package wire

import (
	"tuckring/internal/figure"
	"tuckring/internal/picture"
	"tuckring/internal/words"
)

// MaxPicturePixels is how many pixels a picture may have that is sent to be laid over the grid. The page makes larger ones
// smaller before it sends them: each unit is seen in hundreds of pixels even so.
const MaxPicturePixels = 2_500_000

// PictureKept tells of a picture that was sent. It is kept for some time; then it has to be sent again.
type PictureKept struct {
	Picture string `json:"picture"` // what it is called when it is laid
	Width   int    `json:"width"`   // pixels, upright
	Height  int    `json:"height"`
}

// PictureAsk asks what papers the units would get under a picture.
type PictureAsk struct {
	Picture string        `json:"picture"`
	Lay     picture.Lay   `json:"lay"`
	Fit     bool          `json:"fit,omitempty"` // place and size are the server's to find; part, rows, way and times are asked for
	Choice  PictureChoice `json:"choice"`
}

// PictureChoice says which papers may be taken, and how.
type PictureChoice struct {
	Best       int          `json:"best,omitempty"`  // how many of them at most; 0 for all
	Ready      bool         `json:"ready,omitempty"` // among the ready papers too
	Stock      []PaperStock `json:"stock,omitempty"`
	Spread     float64      `json:"spread,omitempty"`
	Edges      bool         `json:"edges,omitempty"`
	Clean      bool         `json:"clean,omitempty"`
	Mirror     bool         `json:"mirror,omitempty"`
	Background bool         `json:"background,omitempty"`
	Ground     string       `json:"ground,omitempty"` // the paper of the background, by its id; the nearest where none is named
	Gains      bool         `json:"gains,omitempty"`  // work out what more paper would bring
}

// PaperStock is how many units there are of a paper for the whole figure.
type PaperStock struct {
	Colour string `json:"colour"`
	Units  int    `json:"units"`
}

// PictureTrial is what a picture would make of the figure: Paint, or Refused. Differences are CIEDE2000.
type PictureTrial struct {
	Rev      int64             `json:"rev"`
	Lay      picture.Lay       `json:"lay"`
	Around   float64           `json:"around"` // a whole turn of the wall, in widths of a unit
	Rise     float64           `json:"rise"`   // how much a row adds, in the same
	Open     bool              `json:"open,omitempty"`
	Paint    []figure.PaintRun `json:"paint,omitempty"`
	Added    []ReadyPaper      `json:"added,omitempty"` // papers among these that the figure has not yet
	Covered  int               `json:"covered"`
	Mean     float64           `json:"mean"`
	Greatest float64           `json:"greatest"`
	Bound    float64           `json:"bound"`
	Proven   bool              `json:"proven"`
	By       []PaperUse        `json:"by,omitempty"`
	OneMore  *PaperGain        `json:"one_more,omitempty"`
	TenMore  []PaperGain       `json:"ten_more,omitempty"`
	Refused  *Refusal          `json:"refused,omitempty"`
}

// PaperUse is how many units of a paper the figure would have, and how many of them were painted after the picture.
type PaperUse struct {
	Colour string `json:"colour"`
	Units  int    `json:"units"`
	Laid   int    `json:"laid"`
}

// PaperGain is by how much the mean difference would be less with one paper more, or with ten more units of one.
type PaperGain struct {
	Paper ReadyPaper `json:"paper"`
	Mean  float64    `json:"mean"`
}

// Tell puts the papers that a picture gives into the form in which they travel.
func (t *PictureTrial) Tell(say *words.Speaker, r *picture.Result) {
	t.Paint, t.Covered = r.Paint, r.Covered
	t.Mean, t.Greatest, t.Bound, t.Proven = r.Mean, r.Greatest, r.Bound, r.Proven
	for _, c := range r.Added {
		t.Added = append(t.Added, paperOf(c))
	}
	for _, u := range r.By {
		t.By = append(t.By, PaperUse{Colour: u.Colour.ID, Units: u.Units, Laid: u.Laid})
	}
	if r.OneMore != nil {
		t.OneMore = &PaperGain{paperOf(r.OneMore.Colour), r.OneMore.Mean}
	}
	for _, g := range r.TenMore {
		t.TenMore = append(t.TenMore, PaperGain{paperOf(g.Colour), g.Mean})
	}
}

func paperOf(c figure.Colour) ReadyPaper { return ReadyPaper{ID: c.ID, Name: c.Name, Hex: c.Hex} }

// SheetsAsk asks for the colours of sheets of paper in a photo that was sent as pictures are.
type SheetsAsk struct {
	Picture string         `json:"picture"`
	White   picture.Spot   `json:"white"` // where a white sheet lies
	At      []picture.Spot `json:"at"`    // where the others lie
}

// SheetsRead is the colours of those sheets, or why there are none.
type SheetsRead struct {
	Sheets  []SheetRead `json:"sheets,omitempty"`
	Refused *Refusal    `json:"refused,omitempty"`
}

// SheetRead is the colour of a sheet, approximately, with a name to begin with.
type SheetRead struct {
	Name   string `json:"name"`
	Hex    string `json:"hex"`
	Uneven bool   `json:"uneven,omitempty"` // the place is no even sheet
}
