package main

import (
	"fmt"

	"tuckring/internal/report"
	"tuckring/internal/site"
	"tuckring/internal/words"
	sitepage "tuckring/web/site"
)

// publish writes a web site of one figure into a folder.
func publish(s *streams, args []string) error {
	o := newOptions("publish", "FIGURE")
	defaults := report.DefaultSettings()
	out := o.String("out", "", flagText("site_out"))
	sheet := o.String("sheet", defaults.Sheet, flagText("sheet"))
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	if err := o.needs("out", *out); err != nil {
		return err
	}
	settings, faults := defaults.With(nil, map[string]string{"sheet": *sheet})
	if len(faults) > 0 {
		return o.wrong(atFlag(faults[0]))
	}
	f, err := readFigure(s, rest[0])
	if err != nil {
		return err
	}
	files, err := sitepage.Files(f, settings, words.English)
	if err != nil {
		return reportError(err)
	}
	if err := site.Write(*out, files); err != nil {
		return err
	}
	fmt.Fprintln(s.out, words.English.T("cli.publish.done", "Folder", *out))
	return nil
}
