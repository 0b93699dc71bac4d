package figure

import (
	"strconv"
	"unicode"

	"tuckring/internal/words"
)

// NameFault says what is wrong with a title, or the name of a colour, an extra, a person or a swatch, that
// somebody gives now: all that TextFault finds, and what would make one name pass for another or for none. It
// is asked at the door only (NameFaults, DecodeEdit, the pages' forms): what is stored already stays readable,
// whatever it is called. ZWJ in emoji, ZWNJ in Persian and the implicit marks (LRM, RLM, ALM) are fine in a name
// that shows something.
func NameFault(s string, limit int, some bool) (what, fix words.Text, bad bool) {
	if what, fix, bad = TextFault(s, limit, some); bad {
		return what, fix, bad
	}
	shows := s == ""
	for _, c := range s {
		code := strconv.FormatInt(int64(c), 16)
		switch {
		case c == '\n' || c == '\u2028' || c == '\u2029': // UAX #14: BK and LF
			return words.T("figure.name.lines"), words.T("figure.name.lines.fix"), true
		case directs(c):
			return words.T("figure.name.direction", "Code", code), words.T("figure.name.direction.fix"), true
		}
		shows = shows || !invisible(c)
	}
	if !shows {
		return words.T("figure.name.invisible"), words.T("figure.name.invisible.fix"), true
	}
	return words.Text{}, words.Text{}, false
}

// directs tells the explicit directional formatting characters, by which text can be made to read otherwise than
// it is written (UAX #9, 2.1 to 2.4; UTS #55, 3).
func directs(c rune) bool { return (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) }

// blankBraille is a sign that shows nothing though it is no space (The Unicode Standard, 21.1).
const blankBraille = '\u2800'

// invisible tells spaces and the characters that are shown as nothing: Default_Ignorable_Code_Point as UAX #44
// derives it from other properties (DerivedCoreProperties.txt).
func invisible(c rune) bool {
	switch {
	case unicode.IsSpace(c) || c == blankBraille:
		return true
	case unicode.In(c, unicode.Prepended_Concatenation_Mark) || (c >= 0xFFF9 && c <= 0xFFFB) || (c >= 0x13430 && c <= 0x13440):
		return false
	}
	return unicode.In(c, unicode.Other_Default_Ignorable_Code_Point, unicode.Cf, unicode.Variation_Selector)
}

// NameFaults are the faults of a figure's title and names, nil when there are none; for a figure that comes from
// outside (see NameFault).
func (f *Figure) NameFaults() Faults {
	names := []namePart{{"title", f.Title, MaxTitle}}
	for i, c := range f.Colours {
		names = append(names, namePart{"colours[" + strconv.Itoa(i) + "].name", c.Name, MaxName})
	}
	for i, e := range f.Extras {
		names = append(names, namePart{"extras[" + strconv.Itoa(i) + "].name", e.Name, MaxName})
	}
	var faults Faults
	for _, n := range names {
		if what, fix, bad := NameFault(n.text, n.limit, true); bad {
			faults = append(faults, Fault{Where: n.where, What: what, Fix: fix})
		}
	}
	return faults
}

// namePart is a name and where it stands.
type namePart struct {
	where, text string
	limit       int
}

// newName is the title or name that an edit gives; ok is false for an edit that gives none.
func newName(e Edit) (n namePart, ok bool) {
	switch e := e.(type) {
	case *SetTitle:
		return namePart{"title", e.Title, MaxTitle}, true
	case *AddColour:
		return namePart{"name", e.Name, MaxName}, true
	case *EditColour:
		return namePart{"name", e.Name, MaxName}, true
	case *AddExtra:
		return namePart{"extra.name", e.Extra.Name, MaxName}, true
	case *EditExtra:
		return namePart{"extra.name", e.Extra.Name, MaxName}, true
	}
	return namePart{}, false
}

// editNameFault refuses an edit from outside whose name cannot be one. A name that is empty or too long is left to
// the edit itself, which says so.
func editNameFault(e Edit) error {
	n, gives := newName(e)
	if !gives {
		return nil
	}
	if _, _, bad := TextFault(n.text, n.limit, true); bad {
		return nil
	}
	if what, fix, bad := NameFault(n.text, n.limit, true); bad {
		return refuse(n.where, what, fix)
	}
	return nil
}
