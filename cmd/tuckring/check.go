package main

import (
	"errors"
	"fmt"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// found is one finding as `check --json` gives it (contract).
type found struct {
	Level string     `json:"level"`
	Ring  int        `json:"ring"`
	Where string     `json:"where"`
	What  words.Text `json:"what"`
	Fix   words.Text `json:"fix"`
}

// check prints the findings of a document, one a line. It fails when one of them is a fault.
func check(s *streams, args []string) error {
	o := newOptions("check", "FIGURE")
	asJSON := o.Bool("json", false, flagText("json"))
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	data, err := readDocument(s, rest[0])
	if err != nil {
		return err
	}
	list, faults := findings(data)
	if *asJSON {
		err = writeJSON(s, list)
	} else {
		printFindings(s, list)
	}
	if err == nil && faults > 0 {
		return words.T("cli.check.faults", "Count", faults)
	}
	return err
}

// findings are all findings of a document, never nil, and how many of them are faults.
func findings(data []byte) (list []found, faults int) {
	list = []found{}
	_, err := figure.Read(data)
	var fs figure.Faults
	if errors.As(err, &fs) {
		for _, f := range fs {
			list = append(list, found{"fault", f.Ring, f.Where, f.What, f.Fix})
		}
	}
	return list, len(fs)
}

func printFindings(s *streams, list []found) {
	for _, f := range list {
		fmt.Fprintln(s.out, words.English.T("cli.check.line", "Level", words.T("cli.check."+f.Level), "Where", f.Where, "What", f.What, "Fix", f.Fix))
	}
	if len(list) == 0 {
		fmt.Fprintln(s.out, words.English.T("cli.check.clean"))
	}
}
