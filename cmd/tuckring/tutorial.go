package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/tutorial"
	"tuckring/internal/words"
)

// writeTutorial makes what is needed to teach a figure, in one zip.
func writeTutorial(s *streams, args []string) error {
	o := newOptions("tutorial", "FIGURE")
	defaults := report.DefaultSettings()
	out := o.String("out", "", flagText("tutorial_out"))
	sheet := o.String("sheet", defaults.Sheet, flagText("sheet"))
	language := o.String("language", words.English.Lang(), flagText("language"))
	credit, licence, address := o.String("credit", "", flagText("credit")), o.String("licence", "", flagText("licence")), o.String("address", "", flagText("address"))
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	if err := o.needs("out", *out); err != nil {
		return err
	}
	if *language != words.English.Lang() {
		return o.wrong(words.T("cli.language", "Found", clip(*language), "Allowed", words.English.Lang()))
	}
	settings, faults := defaults.With(nil, map[string]string{"sheet": *sheet})
	if len(faults) > 0 {
		return o.wrong(atFlag(faults[0]))
	}
	f, err := readFigure(s, rest[0])
	if err != nil {
		return err
	}
	if err := o.spares(s, *out); err != nil {
		return err
	}
	told := 0
	options := tutorial.Options{Settings: settings, Credit: *credit, Licence: *licence, Address: *address, Told: func(done, all int) {
		if tenth := 10 * done / all; tenth > told {
			told = tenth
			fmt.Fprintln(s.err, words.English.T("cli.tutorial.told", "Done", done, "All", all))
		}
	}}
	err = writeBy(*out, func(w io.Writer) error { return tutorial.Write(context.Background(), w, f, options, words.English) })
	if err != nil {
		var bad figure.Faults
		if errors.As(err, &bad) && len(bad) > 0 {
			switch bad[0].Where {
			case "credit", "licence", "address":
				return o.wrong(atFlag(bad[0]))
			}
		}
		return reportError(err)
	}
	fmt.Fprintln(s.out, words.English.T("cli.tutorial.done", "File", *out))
	return nil
}
