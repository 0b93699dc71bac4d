package main

import (
	"context"
	"errors"
	"fmt"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/words"
)

// reportFigure prints the report of a figure.
func reportFigure(s *streams, args []string) error {
	o := newOptions("report", "FIGURE")
	defaults := report.DefaultSettings()
	sheet := o.String("sheet", defaults.Sheet, flagText("sheet"))
	spare := o.String("spare", strconv.FormatFloat(defaults.Spare, 'f', -1, 64), flagText("spare"))
	people := o.String("people", strconv.Itoa(defaults.People), flagText("people"))
	asJSON := o.Bool("json", false, flagText("json"))
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	settings, faults := defaults.With(nil, map[string]string{"sheet": *sheet, "spare": *spare, "people": *people})
	if len(faults) > 0 {
		return o.wrong(atFlag(faults[0]))
	}
	f, err := readFigure(s, rest[0])
	if err != nil {
		return err
	}
	r, err := report.Make(context.Background(), f, settings)
	if err != nil {
		return reportError(err)
	}
	r.LookOver(f, settings)
	if *asJSON {
		return writeJSON(s, r)
	}
	_, err = fmt.Fprint(s.out, r.Text(words.English))
	return err
}

// reportError says why there is no report of a sound figure.
func reportError(err error) error {
	var faults figure.Faults
	if errors.As(err, &faults) {
		return words.T("cli.report.not", "Reason", faults.Error())
	}
	return err
}
