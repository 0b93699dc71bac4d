package report

import (
	"net/http"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

// takeUnit gives the figure's units another size, by a step in the log like any other.
func (s *room) takeUnit(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return kernel.CutShort(err)
	}
	form := kernel.NewForm(r.PostForm, nil)
	edit := &figure.SetUnit{
		LongMM:  form.Length("long", figure.MinUnitMM, figure.MaxUnitMM),
		ShortMM: form.Length("short", figure.MinUnitMM, figure.MaxUnitMM),
		Fold:    figure.Fold(form.Value("fold")),
	}
	if !form.OK() {
		return kernel.NewProblem(wire.CodeInvalid, "form")
	}
	before, err := s.Present(r)
	if err != nil {
		return err
	}
	if err := s.TakeStep(w, r, edit); err != nil {
		return err
	}
	was := kernel.Digits(before.Figure.Unit.LongMM) + "x" + kernel.Digits(before.Figure.Unit.ShortMM) + "x" + string(before.Figure.Unit.Fold)
	http.Redirect(w, r, kernel.AccessOf(r).Base+"/report?unit="+was+"#sizes", http.StatusSeeOther)
	return nil
}

// oldUnit reads the size that a figure had before a one-press change: "53x37xdoubled".
func oldUnit(text string) *figure.Unit {
	parts := strings.Split(text, "x")
	if len(parts) != 3 {
		return nil
	}
	long, okLong := kernel.Decimal(parts[0])
	wide, okShort := kernel.Decimal(parts[1])
	fold := figure.Fold(parts[2])
	if !okLong || !okShort || (fold != figure.Doubled && fold != figure.Single) {
		return nil
	}
	return &figure.Unit{LongMM: long, ShortMM: wide, Fold: fold}
}
