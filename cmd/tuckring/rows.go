package main

import (
	"tuckring/internal/guide"
	"tuckring/internal/words"
)

// rows prints the ring-by-ring building text.
func rows(s *streams, args []string) error {
	o := newOptions("rows", "FIGURE")
	rest, err := o.parse(s, args)
	if err != nil {
		return err
	}
	f, err := readFigure(s, rest[0])
	if err != nil {
		return err
	}
	return guide.Make(f).Write(s.out, words.English)
}
