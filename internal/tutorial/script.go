package tutorial

import (
	"fmt"
	"strings"
	"time"
)

// wordsAMinute is how fast a script is read aloud (common practice of speakers: 130 to 160).
const wordsAMinute = 145

// pause is how long a card stays when what is said of it is over.
const pause = 2 * time.Second

// script is what is said over the film, card by card, with the time at which each begins when it is read without a break.
func (t *Tutorial) script(steps []Step, markdown bool) []byte {
	var b strings.Builder
	clean := func(s string) string { return s }
	heading := "%s  %s\n"
	if markdown {
		clean, heading = escaped, "## %s %s\n"
		fmt.Fprintf(&b, "# %s\n\n", escaped(t.f.Title))
	} else {
		fmt.Fprintf(&b, "%s\n\n", t.f.Title)
	}
	fmt.Fprintf(&b, "%s\n", clean(t.say.T("tutorial.script", "Words", wordsAMinute)))
	at := time.Duration(0)
	for i := range steps {
		st := &steps[i]
		b.WriteByte('\n')
		fmt.Fprintf(&b, heading, mark(at), clean(st.Heading))
		said := 0
		for _, line := range append(append([]string{}, st.Cautions...), st.Say...) {
			b.WriteByte('\n')
			b.WriteString(clean(line))
			b.WriteByte('\n')
			said += len(strings.Fields(line))
		}
		at += (time.Duration(said)*time.Minute/wordsAMinute + pause).Round(time.Second)
	}
	fmt.Fprintf(&b, "\n%s\n", clean(t.say.T("tutorial.script.end", "Time", mark(at))))
	return []byte(b.String())
}

// mark is a time as minutes and seconds.
func mark(at time.Duration) string {
	s := int(at.Round(time.Second).Seconds())
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// escaped is text as Markdown says it word for word (CommonMark 0.31, backslash escapes; what begins a list or a rule only does so at
// the beginning of a line).
func escaped(s string) string {
	var b strings.Builder
	for i, c := range strings.ReplaceAll(s, "\n", " ") {
		if strings.ContainsRune("\\`*_[]<>#|~&", c) || i == 0 && strings.ContainsRune("+-=", c) || c == '.' && allDigits(s[:i]) {
			b.WriteByte('\\')
		}
		b.WriteRune(c)
	}
	return b.String()
}

func allDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
