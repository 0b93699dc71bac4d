package common

import (
	"time"

	"tuckring/internal/words"
)

// When says a time as a person would, in the machine's own time zone: "today at 14:05",
// "yesterday at 09:30", "24 November 2026".
func When(t, now time.Time) words.Text {
	t, now = t.Local(), now.Local()
	clock := t.Format("15:04")
	switch days(now) - days(t) {
	case 0:
		return words.T("web.when.today", "Clock", clock)
	case 1:
		return words.T("web.when.yesterday", "Clock", clock)
	}
	return words.T("web.when.date", "Day", t.Day(), "Month", words.T(words.Among("web.month.", t.Format("01"), "01", "02", "03", "04", "05", "06", "07", "08", "09", "10", "11", "12")), "Year", t.Year())
}

// days counts the calendar days up to the one of t.
func days(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / (24 * 60 * 60))
}
