package figure

import (
	"maps"
	"slices"
)

// EditKind is a kind of edit: what stands in its "do", and an empty edit of it.
type EditKind struct {
	Do    string
	Empty Edit
}

// EditKinds are the kinds of edits that DecodeEdit reads, in the order of their names. Those that only the log
// holds are not among them.
func EditKinds() []EditKind {
	var out []EditKind
	for _, do := range slices.Sorted(maps.Keys(editKinds)) {
		if !logKinds[do] {
			out = append(out, EditKind{Do: do, Empty: editKinds[do]()})
		}
	}
	return out
}
