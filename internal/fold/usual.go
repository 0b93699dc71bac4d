package fold

import "tuckring/internal/figure"

// Usual is a unit size that makers use, named in the catalogue as fold.usual.KEY with its standing.
type Usual struct {
	Key  string
	Unit figure.Unit
}

// UsualSizes are the sizes to choose from, the commonest first.
//   - a9, a8: A4 cut into 32 or 16 (ISO 216), doubled: common practice
//   - half-a9: half an A9 as a single strip: the 68-unit figure of The Star (Malaysia), 14 March 2012
//   - strip-30x80: common practice
//   - strip-15x85: about 4:1 by ratio as published, myskillsguide.blogspot.com, 2010, 'paper swan'
var UsualSizes = []Usual{
	{"a9", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}},
	{"a8", figure.Unit{LongMM: 74, ShortMM: 52, Fold: figure.Doubled}},
	{"half-a9", figure.Unit{LongMM: 52, ShortMM: 18.5, Fold: figure.Single}},
	{"strip-30x80", figure.Unit{LongMM: 80, ShortMM: 30, Fold: figure.Single}},
	{"strip-15x85", figure.Unit{LongMM: 85, ShortMM: 15, Fold: figure.Single}},
}

// UsualByKey finds a usual size.
func UsualByKey(key string) (figure.Unit, bool) {
	for _, u := range UsualSizes {
		if u.Key == key {
			return u.Unit, true
		}
	}
	return figure.Unit{}, false
}
