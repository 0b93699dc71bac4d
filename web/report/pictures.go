package report

import (
	"tuckring/internal/draw"
	"tuckring/internal/pace"
	"tuckring/internal/paper"
	"tuckring/internal/report"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// Picture is a drawing within a page.
type Picture struct {
	Key     string // of its class
	Caption string
	SVG     string
	Narrow  string // the same for a narrow screen, "" where SVG does there too
}

// Pictures are the drawings of the report, in their order.
type Pictures []Picture

// Sizes of the report's pictures, mm.
const (
	chartWidth   = 170.0
	phoneWidth   = 86.0 // of what a screen of 360 px shows without scrolling or shrinking
	layoutHeight = 80.0
)

func picturesOf(say *words.Speaker, p kernel.Present, made *report.Report) Pictures {
	out := Pictures{}
	caption := func(key string) string { return say.T("reportpage.picture." + key) }
	// add draws a picture at its own width and again as wide as a phone's screen.
	add := func(key string, width float64, pen func(width float64) *draw.Drawing) {
		out = append(out, Picture{key, caption(key), string(pen(width).SVG()), string(pen(phoneWidth).SVG())})
	}
	add("colours", chartWidth, func(width float64) *draw.Drawing { return draw.ColourBar(p.Figure, width, say) })
	add("profile", common.ProfileWidth, func(width float64) *draw.Drawing { return draw.Profile(made.Size, width, common.ProfileHeight, say) })
	if l := firstLayout(made); l != nil {
		d := draw.Cutting(draw.CuttingOptions{Sheet: l.Cutting.Sheet, Tree: l.Tree, Height: layoutHeight, Say: say})
		out = append(out, Picture{Key: "layout", Caption: caption("layout"), SVG: string(d.SVG())})
	}
	r := made.Time.Range
	add("stages", chartWidth, func(width float64) *draw.Drawing {
		return draw.Stages([]draw.Stage{{Task: pace.Cutting, Time: r.Cutting}, {Task: pace.Folding, Time: r.Folding},
			{Task: pace.Assembling, Time: r.Assembly}, {Task: pace.Finishing, Time: r.Finishing}}, width, say)
	})
	if plan := made.Time.Plan; plan != nil && len(plan.Blocks) > 0 {
		add("sessions", chartWidth, func(width float64) *draw.Drawing { return draw.Timeline(*plan, width, say) })
	}
	return out
}

// firstLayout is the layout of the first whole sheet that is cut, or else of the first part-used one.
func firstLayout(made *report.Report) *paper.Layout {
	for _, plan := range made.Cutting.Plans {
		if !plan.Part {
			return plan.Layout
		}
	}
	if len(made.Cutting.Plans) == 0 {
		return nil
	}
	return made.Cutting.Plans[0].Layout
}
