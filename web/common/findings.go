package common

import (
	"tuckring/internal/findings"
	"tuckring/internal/words"
)

func CountFindings(list []findings.Finding) words.Text {
	faults, warnings, hints := findings.Count(list)
	if faults+warnings+hints == 0 {
		return words.T("hold.check.none")
	}
	aboutBuilding, aboutPattern := words.T("hold.check.warnings", "Count", warnings+faults), words.T("hold.check.hints", "Count", hints)
	switch {
	case hints == 0:
		return words.T("hold.check.counts.one", "Counted", aboutBuilding)
	case warnings+faults == 0:
		return words.T("hold.check.counts.one", "Counted", aboutPattern)
	}
	return words.T("hold.check.counts", "Warnings", aboutBuilding, "Hints", aboutPattern)
}
