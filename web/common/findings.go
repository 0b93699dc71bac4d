package common

import (
	"tuckring/internal/findings"
	"tuckring/internal/words"
)

func CountFindings(list []findings.Finding) words.Text {
	faults, warnings, hints := findings.Count(list)
	if faults+warnings+hints == 0 {
		return words.T("checkpage.none")
	}
	aboutBuilding, aboutPattern := words.T("checkpage.warnings", "Count", warnings+faults), words.T("checkpage.hints", "Count", hints)
	switch {
	case hints == 0:
		return words.T("checkpage.counts.one", "Counted", aboutBuilding)
	case warnings+faults == 0:
		return words.T("checkpage.counts.one", "Counted", aboutPattern)
	}
	return words.T("checkpage.counts", "Warnings", aboutBuilding, "Hints", aboutPattern)
}
