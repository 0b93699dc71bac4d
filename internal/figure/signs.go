package figure

import (
	"strings"

	"tuckring/internal/words"
)

// AllSigns are the signs that a colour may have, one character each: letters, digits and a few marks, all plain
// ASCII, so that they stand in every font and print well when small (common practice). =, @ and - are not among
// them, since a spreadsheet may read them as a formula. There are more than a figure can have colours, so that
// some are always free.
const AllSigns = ownSigns + "*#&%?!"

// ownSigns are those that a colour gets by itself when nobody chooses one.
const ownSigns = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"

// Signs gives each colour a sign of its own, so that a print in black and white and a colour-blind maker can
// read the pattern: the one that was chosen for it, else the first letter of its name that is free, or else of
// the alphabet, then a digit, + or /. No colour gets by itself what was chosen for another.
func (f *Figure) Signs() []string {
	used := map[rune]bool{}
	for _, c := range f.Colours {
		for _, sign := range c.Sign {
			used[sign] = true
		}
	}
	out := make([]string, len(f.Colours))
	for i, c := range f.Colours {
		if out[i] = c.Sign; c.Sign != "" {
			continue
		}
		for _, candidate := range upperLetters(c.Name) + ownSigns {
			if !used[candidate] {
				used[candidate] = true
				out[i] = string(candidate)
				break
			}
		}
	}
	return out
}

// SignFault says what is wrong with a sign that was chosen; an empty one means none and is fine.
func SignFault(sign string) (what, fix words.Text, bad bool) {
	if sign == "" || (len(sign) == 1 && strings.Contains(AllSigns, sign)) {
		return words.Text{}, words.Text{}, false
	}
	return words.T("figure.sign", "Found", clip(sign)), words.T("figure.sign.fix"), true
}

// signTaken says that another colour than the one with the given ID has a sign by choice.
func (f *Figure) signTaken(sign, id string) (other Colour, taken bool) {
	for _, c := range f.Colours {
		if sign != "" && c.Sign == sign && c.ID != id {
			return c, true
		}
	}
	return Colour{}, false
}

// signTwice says that two colours may not have one sign.
func signTwice(sign, name, other string) (what, fix words.Text) {
	return words.T("figure.sign.twice", "Sign", sign, "Name", name, "Other", other), words.T("figure.sign.twice.fix")
}

// signFault checks the sign chosen for a colour against the others; it returns nil when it is fine.
func (f *Figure) signFault(sign, id, name string) error {
	if what, fix, bad := SignFault(sign); bad {
		return refuse("sign", what, fix)
	}
	if other, taken := f.signTaken(sign, id); taken {
		what, fix := signTwice(sign, name, other.Name)
		return refuse("sign", what, fix)
	}
	return nil
}

// upperLetters gives the name's own letters A–Z, beginnings of words first.
func upperLetters(name string) string {
	first, rest := "", ""
	start := true
	for _, c := range name {
		if c >= 'a' && c <= 'z' {
			c -= 'a' - 'A'
		}
		if c < 'A' || c > 'Z' {
			start = true
			continue
		}
		if start {
			first += string(c)
		} else {
			rest += string(c)
		}
		start = false
	}
	return first + rest
}
