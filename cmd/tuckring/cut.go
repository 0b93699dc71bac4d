package main

import (
	"context"
	"errors"
	"fmt"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/words"
)

// cut prints the best edge-to-edge layout of one sheet and the cuts that make it.
func cut(s *streams, args []string) error {
	o := newOptions("cut", "")
	sheet := o.String("sheet", "", flagText("sheet"))
	unit := o.String("unit", "", flagText("unit"))
	margin := o.String("margin", "0", flagText("margin"))
	kerf := o.String("kerf", "0", flagText("kerf"))
	asJSON := o.Bool("json", false, flagText("json"))
	if _, err := o.parse(s, args); err != nil {
		return err
	}
	c, err := o.cutting(*sheet, *unit)
	if err != nil {
		return err
	}
	if c.MarginMM, err = o.number("margin", *margin); err != nil {
		return err
	}
	if c.KerfMM, err = o.number("kerf", *kerf); err != nil {
		return err
	}
	layout, err := paper.Best(context.Background(), c)
	if err != nil {
		return o.cutError(err)
	}
	if *asJSON {
		return writeJSON(s, layout)
	}
	printLayout(s, layout)
	return nil
}

// cutting reads the sheet and the unit; both must be given.
func (o *options) cutting(sheet, unit string) (paper.Cutting, error) {
	var c paper.Cutting
	if err := o.needs("sheet", sheet); err != nil {
		return c, err
	}
	if err := o.needs("unit", unit); err != nil {
		return c, err
	}
	var err error
	if c.Sheet, err = paper.ParseSheet(sheet); err != nil {
		return c, o.wrong(atFlag(err))
	}
	if c.LongMM, c.ShortMM, err = paper.ParseSize("unit", unit); err != nil {
		return c, o.wrong(atFlag(err))
	}
	return c, nil
}

// cutError says why there is no layout: a size that makes no sense is wrong usage, a unit that does not
// fit is not.
func (o *options) cutError(err error) error {
	var faults figure.Faults
	if !errors.As(err, &faults) || len(faults) == 0 {
		return err
	}
	switch faults[0].What.Key {
	case "paper.unit.large", "paper.unit.fine":
		return words.T("cli.cut.not", "What", faults[0].What, "Fix", faults[0].Fix)
	}
	return o.wrong(atFlag(faults[0]))
}

// atFlag names the flag at which a fault was found.
func atFlag(err error) error {
	var f figure.Fault
	if errors.As(err, &f) {
		return words.T("cli.at_flag", "Flag", "--"+f.Where, "What", f.What, "Fix", f.Fix)
	}
	return err
}

func printLayout(s *streams, l *paper.Layout) {
	if l.Uncut() {
		fmt.Fprintln(s.out, words.English.Say(l.Summary()))
		return
	}
	for _, t := range []words.Text{l.Summary(), l.Proof(), l.StopsProof()} {
		fmt.Fprintln(s.out, words.English.Say(t))
	}
	for i, step := range l.Steps {
		fmt.Fprintf(s.out, "%3d. %s\n", i+1, words.English.Say(step.Text()))
	}
	fmt.Fprintln(s.out, words.English.T("guide.caution", "Text", words.T("guide.caution.blade")))
}
