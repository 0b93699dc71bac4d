package figure

import (
	"strconv"
	"strings"
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
	if strings.ContainsAny(s, "\n\u2028\u2029") { // UAX #14: BK and LF
		return words.T("figure.name.lines"), words.T("figure.name.lines.fix"), true
	}
	return hiddenFault(s, "figure.name")
}

// NoteFault says what is wrong with a note of a ring that somebody gives now: as NameFault, but a note may have
// lines, and say nothing.
func NoteFault(s string) (what, fix words.Text, bad bool) {
	if what, fix, bad = TextFault(s, MaxNote, false); bad || strings.TrimSpace(s) == "" {
		return what, fix, bad
	}
	return hiddenFault(s, "figure.note")
}

// hiddenFault says by what a text shows nothing, or reads otherwise than it is written; an empty one is fine. The
// sentences about it begin with key.
func hiddenFault(s, key string) (what, fix words.Text, bad bool) {
	found := s == ""
	for _, c := range s {
		code := strconv.FormatInt(int64(c), 16)
		switch {
		case directs(c):
			return words.T(key+".direction", "Code", code), words.T("figure.name.direction.fix"), true
		case isNoncharacter(c):
			return words.T("figure.text.control", "Code", code), words.T("figure.text.control.fix"), true
		}
		found = found || shows(c)
	}
	if !found {
		return words.T(key + ".invisible"), words.T("figure.name.invisible.fix"), true
	}
	return words.Text{}, words.Text{}, false
}

// directs tells the explicit directional formatting characters, by which text can be made to read otherwise than
// it is written (UAX #9, 2.1 to 2.4; UTS #55, 3).
func directs(c rune) bool { return (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) }

// blankBraille is a sign that shows nothing though it is no space (The Unicode Standard, 21.1).
const blankBraille = '\u2800'

// isNoncharacter tells the places that will never hold a character (The Unicode Standard, 23.7).
func isNoncharacter(c rune) bool { return c&0xFFFE == 0xFFFE || (c >= 0xFDD0 && c <= 0xFDEF) }

// shows tells the characters that are seen by themselves: letters, numbers, punctuation and signs (UAX #44,
// General_Category), but those that are shown as nothing (Default_Ignorable_Code_Point). Marks need a letter, and
// private use looks different, or like nothing, on every machine.
func shows(c rune) bool {
	if c == blankBraille || unicode.Is(unicode.Other_Default_Ignorable_Code_Point, c) {
		return false
	}
	return unicode.In(c, unicode.L, unicode.N, unicode.P, unicode.S) || newerEmoji(c)
}

// newerEmoji tells places that are kept for emoji and may hold one in a newer Unicode than Go's tables: the
// pictographs of plane 1, all of which are Extended_Pictographic where they hold nothing yet (UTS #51, emoji-data.txt).
func newerEmoji(c rune) bool { return c >= 0x1F000 && c <= 0x1FAFF }

// NameFaults are the faults of a figure's title, names and notes of rings, nil when there are none; for a figure that comes from
// outside (see NameFault, NoteFault).
func (f *Figure) NameFaults() Faults {
	names := []namePart{{"title", f.Title, MaxTitle}}
	for i, c := range f.Colours {
		names = append(names, namePart{"colours[" + strconv.Itoa(i) + "].name", c.Name, MaxName})
	}
	for i, e := range f.Extras {
		names = append(names, namePart{"extras[" + strconv.Itoa(i) + "].name", e.Name, MaxName})
	}
	for i, p := range f.Parts {
		at := "parts[" + strconv.Itoa(i) + "]."
		names = append(names, namePart{at + "id", p.Code, MaxName}, namePart{at + "name", p.Name, MaxName})
	}
	r := &reader{}
	for _, n := range names {
		if what, fix, bad := NameFault(n.text, n.limit, true); bad {
			r.bad(n.where, what, fix)
		}
	}
	f.noteFaults(r)
	return r.told()
}

func (f *Figure) noteFaults(r *reader) {
	for i := range f.Rings {
		ring := &f.Rings[i]
		for _, n := range []namePart{{"after", ring.After, MaxNote}, {"note", ring.Note, MaxNote}} {
			if what, fix, bad := NoteFault(n.text); bad {
				r.badRing(i+1, "rings["+strconv.Itoa(i)+"]."+n.where, what, fix)
			}
		}
	}
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
	case *Grow:
		return namePart{"name", e.Name, MaxName}, true
	case *SetOn:
		return namePart{"name", e.Name, MaxName}, true
	case *AddTwin:
		return namePart{"name", e.Name, MaxName}, true
	case *EditPart:
		return namePart{"name", e.Name, MaxName}, true
	}
	return namePart{}, false
}

// editNameFault refuses an edit from outside whose name or note cannot be one. What is empty or too long is left to
// the edit itself, which says so.
func editNameFault(e Edit) error {
	if e, ok := e.(*RingNote); ok {
		return e.noteFault()
	}
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

func (e *RingNote) noteFault() error {
	for _, n := range []namePart{{"after", e.After, MaxNote}, {"note", e.Note, MaxNote}} {
		if _, _, bad := TextFault(n.text, n.limit, false); bad {
			continue
		}
		if what, fix, bad := NoteFault(n.text); bad {
			return refuse(n.where, what, fix)
		}
	}
	return nil
}
