package main

import (
	"fmt"

	"tuckring/internal/findings"
	"tuckring/internal/words"
)

// check prints the findings of a document, one a line. It fails when one of them is a fault.
func check(s *streams, args []string) error {
	o := newOptions("check", "FIGURE")
	asJSON := o.Bool("json", false, flagText("json"))
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	document, err := readDocument(s, rest[0])
	if err != nil {
		return err
	}
	list := findings.Of(document)
	if *asJSON {
		err = writeJSON(s, list)
	} else {
		printFindings(s, list)
	}
	if faults, _, _ := findings.Count(list); err == nil && faults > 0 {
		return words.T("cli.check.faults", "Count", faults)
	}
	return err
}

func printFindings(s *streams, list []findings.Finding) {
	for i := range list {
		fmt.Fprintln(s.out, words.English.Say(list[i].Line()))
	}
	if len(list) == 0 {
		fmt.Fprintln(s.out, words.English.T("cli.check.clean"))
	}
}
