// Package cut is the page /cut: the cutting plan.
package cut

import (
	"net/http"

	"tuckring/internal/draw"
	"tuckring/internal/paper"
	"tuckring/internal/report"
	"tuckring/internal/words"
	"tuckring/web/common"
	"tuckring/web/kernel"
)

// lastHeight is the height of the drawing of a last sheet, of which there can be one for each colour, mm.
const lastHeight = 62.0

// planPicture draws the cutting of one plan.
func planPicture(say *words.Speaker, plan *report.CutPlan) string {
	height := 0.0
	if plan.Last || plan.Part {
		height = lastHeight
	}
	return string(draw.Cutting(draw.CuttingOptions{Sheet: plan.Layout.Cutting.Sheet, Tree: plan.Tree, Height: height, Say: say}).SVG())
}

// room answers for the place: the kernel, as its handlers use it.
type room struct{ *kernel.App }

// Room is the place with its addresses, for the app to open.
func Room(app *kernel.App) kernel.Room {
	s := &room{App: app}
	return kernel.Room{Name: "cut", Heads: map[string]words.Text{"cutpage": words.T("cutpage.title")}, Routes: []kernel.Route{
		kernel.Get(kernel.OfFigure+"/cut", kernel.NeedsView, s.Kept(s.cut)),
	}}
}

// View is the cutting plan as it is printed and pinned over the table.
type View struct {
	common.Printout
	Plans []PlanView
}

// PlanView is one way of cutting a sheet: what lies under the blade, the picture, the cuts.
type PlanView struct {
	Number int
	report.CutPlan
	Picture string // SVG
	Stacks  []report.StackRun
	Proof   []words.Text
}

// cut is the cutting plan.
func (s *room) cut(w http.ResponseWriter, r *http.Request) error {
	sheet, page, err := common.NewPrintout(s.App, r, "cutpage.title")
	if err != nil {
		return err
	}
	v := View{Printout: sheet}
	seen := map[string]bool{}
	for i, plan := range sheet.Made.Cutting.Plans {
		pv := PlanView{Number: i + 1, CutPlan: plan, Stacks: plan.StackRuns(), Picture: planPicture(kernel.Speaker(r), &plan)}
		if !plan.Uncut && !plan.Last && !plan.Part && !seen[plan.Sheet] {
			seen[plan.Sheet] = true
			pv.Proof = []words.Text{plan.Layout.Proof(), plan.Layout.StopsProof()}
		}
		if plan.Part && !plan.Layout.Weighed {
			pv.Proof = []words.Text{plan.Layout.Proof()}
		}
		v.Plans = append(v.Plans, pv)
	}
	return kernel.Render(w, r, http.StatusOK, CutPage(page, v))
}

// planTitle says what a plan cuts: "Plan 1: 23 sheets of A4, 32 units from each".
func planTitle(v PlanView) words.Text {
	key, sheet := "cutpage.plan", v.Sheet
	switch {
	case v.Part:
		key, sheet = "cutpage.plan.part", paper.Size{WMM: v.Layout.Cutting.Sheet.WidthMM, HMM: v.Layout.Cutting.Sheet.HeightMM}.String()
	case v.Last:
		key = "cutpage.plan.last"
	}
	return words.T(key, "Number", v.Number, "Count", v.Sheets(), "Sheet", sheet, "Units", words.T("figure.units", "Count", v.Units))
}

// stackName numbers a run of stacks: "Stack 1", "Stacks 2 to 5".
func stackName(run report.StackRun) words.Text {
	if run.First == run.Last {
		return words.T("cutpage.stack", "Number", run.First)
	}
	return words.T("cutpage.stacks", "First", run.First, "Last", run.Last)
}

// givesText says what an offcut still gives: units, or glued pieces.
func givesText(o report.Offcut) words.Text {
	var all []words.Text
	if o.Units > 0 {
		all = append(all, words.T("figure.units", "Count", o.Units))
	}
	for _, fit := range o.Pieces {
		all = append(all, words.T("cutpage.fits", "Count", fit.Count, "Name", fit.Name))
	}
	out := all[0]
	for _, t := range all[1:] {
		out = words.T("cutpage.or", "One", out, "Other", t)
	}
	return out
}
