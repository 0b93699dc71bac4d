package report

import (
	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// GluedPiece is glued pieces of one shape, size and colour.
type GluedPiece struct {
	Count   int
	Outline figure.Outline // disc, oval, triangle or bar
	WMM     float64        // a disc's diameter, another piece's width
	HMM     float64        // 0 for a disc
	Colour  string         // ID of the colour, "" for any paper
}

// GluedPieces counts the pieces that are glued on, alike ones together, in the figure's order.
func GluedPieces(f *figure.Figure) []GluedPiece {
	out := []GluedPiece{}
	at := map[GluedPiece]int{}
	for i := range f.Extras {
		e := &f.Extras[i]
		if e.Kind != figure.Glued {
			continue
		}
		piece := PieceOf(e)
		if _, known := at[piece]; !known {
			at[piece] = len(out)
			out = append(out, piece)
		}
		out[at[piece]].Count++
	}
	return out
}

// PieceOf is the piece of one glued extra; its Count is 0.
func PieceOf(e *figure.Extra) GluedPiece {
	if e.Outline == figure.Disc || e.Outline == "" {
		return GluedPiece{Outline: figure.Disc, WMM: e.Diameter, Colour: e.Colour}
	}
	return GluedPiece{Outline: e.Outline, WMM: e.Width, HMM: e.Height, Colour: e.Colour}
}

// Size says the piece's outline and measures: "disc of 14 mm", "oval of 8 × 5 mm".
func (g GluedPiece) Size() words.Text {
	if g.Outline == figure.Disc {
		return words.T("list.glued.disc", "Width", number(g.WMM))
	}
	return words.T("list.glued."+string(g.Outline), "Width", number(g.WMM), "Height", number(g.HMM))
}
