// Package findings looks a figure over before it is built: will it hold, will it stand, does the
// pattern show what was meant. Faults break a rule of the document, and such a document is refused;
// warnings are about the building; hints are about the pattern. Every rule says how well it is known
// (its standing), and where one edit would settle the matter, the finding carries it.
package findings

import (
	"encoding/json"
	"errors"
	"sort"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Level is how much a finding matters.
type Level string

// A fault must be put right, a warning should be, a hint may be.
const (
	Fault   Level = "fault"
	Warning Level = "warning"
	Hint    Level = "hint"
)

// Standing is how well the rule behind a finding is known.
type Standing string

// A rule is one of the document, from a published example, common practice of the craft, from memory, or
// the house's own choice.
const (
	Document  Standing = "document"
	Published Standing = "published"
	Practice  Standing = "practice"
	Memory    Standing = "memory"
	Own       Standing = "own"
)

// Text names the standing, for a reader.
func (s Standing) Text() words.Text { return words.T("findings.standing." + string(s)) }

// Cell is a unit that a finding is about: its ring and its place in it from the seam, from 0.
type Cell struct {
	Ring figure.RingID `json:"ring"`
	Unit int           `json:"unit"`
}

// Finding is one thing found. Key names it among all findings of the figure: rule, place and number among
// those of the same rule and place ("stray rings[2] 0"). Ring is a ring number, from 1, or 0 when it is about
// no single ring. Where is the place in the document (rings[3], extras[0], unit). What says what was found,
// with the rule's standing, and Fix what would be right. Cells are the units to look at, Colours the colours
// to show beside the words. Edit, when there is one, settles the matter.
type Finding struct {
	Key      string         `json:"key"`
	Level    Level          `json:"level"`
	Rule     string         `json:"rule"`
	Ring     int            `json:"ring"`
	Where    string         `json:"where"`
	What     words.Text     `json:"what"`
	Fix      words.Text     `json:"fix"`
	Standing Standing       `json:"standing"`
	Cells    []Cell         `json:"cells,omitempty"`
	Colours  []string       `json:"colours,omitempty"`
	Extra    figure.ExtraID `json:"extra,omitempty"`
	Edit     figure.Edit    `json:"edit,omitempty"` // as figure.EncodeEdit writes it
}

// MarshalJSON writes the finding with its edit as figure.DecodeEdit reads it.
func (f Finding) MarshalJSON() ([]byte, error) {
	type plain Finding
	out := struct {
		plain
		Edit json.RawMessage `json:"edit,omitempty"`
	}{plain: plain(f)}
	if f.Edit != nil {
		out.Edit = figure.EncodeEdit(f.Edit)
	}
	return json.Marshal(out)
}

// Line says the finding in one line, with its level and place.
func (f *Finding) Line() words.Text {
	var where any = f.Where
	if f.Where == "" {
		where = words.T("findings.document")
	}
	return words.T("findings.line", "Level", words.T("findings.level."+string(f.Level)), "Where", where, "What", f.What, "Fix", f.Fix)
}

// Of reads a document and looks it over; the sizes are those from memory. A document that breaks a
// rule gives its faults and nothing else. The list is never nil.
func Of(document []byte) []Finding {
	f, err := figure.Read(document)
	var faults figure.Faults
	if errors.As(err, &faults) {
		return ofFaults(faults)
	}
	return Check(f, shape.FromMemory(f.Unit))
}

// Check looks a figure over: faults alone when it breaks a rule of the document, else warnings, then
// hints, each from the bottom ring up (what is about no single ring first). It is the one list: the command
// line, the check page, the editor and the report show it as it is, and the same figure gives the same list.
// The gauge tells how large its units stand. The list is never nil.
func Check(f *figure.Figure, g shape.Gauge) []Finding {
	if faults := f.Validate(); len(faults) > 0 {
		return ofFaults(faults)
	}
	c := &checker{f: f, u: figure.Unroll(f), placed: shape.Place(f, g), list: []Finding{}}
	c.unit()
	c.rings()
	c.parts()
	c.extras()
	c.hanging()
	c.pattern()
	c.colours()
	c.alike()
	rank := map[Level]int{Warning: 0, Hint: 1}
	sort.SliceStable(c.list, func(i, j int) bool {
		a, b := &c.list[i], &c.list[j]
		if rank[a.Level] != rank[b.Level] {
			return rank[a.Level] < rank[b.Level]
		}
		return a.Ring < b.Ring
	})
	return keyed(c.list)
}

// keyed gives every finding its key.
func keyed(list []Finding) []Finding {
	seen := map[string]int{}
	for i := range list {
		at := list[i].Rule + " " + list[i].Where
		list[i].Key = at + " " + strconv.Itoa(seen[at])
		seen[at]++
	}
	return list
}

// Count counts the findings of each level.
func Count(list []Finding) (faults, warnings, hints int) {
	for _, f := range list {
		switch f.Level {
		case Fault:
			faults++
		case Warning:
			warnings++
		default:
			hints++
		}
	}
	return faults, warnings, hints
}

func ofFaults(faults figure.Faults) []Finding {
	out := make([]Finding, len(faults))
	for i, f := range faults {
		out[i] = Finding{Level: Fault, Rule: "document", Ring: f.Ring, Where: f.Where, What: f.What, Fix: f.Fix, Standing: Document}
	}
	return keyed(out)
}

// checker looks over one figure that keeps the rules of the document.
type checker struct {
	f      *figure.Figure
	u      *figure.Unrolled
	placed *shape.Placement
	list   []Finding

	touches   *figure.Touches // see touching
	low, high int             // rows of the part whose pattern is looked at
	front     float64         // and where its front is
}

// add notes a finding; its sentences are findings.RULE and findings.RULE.fix with the given values.
func (c *checker) add(level Level, rule string, standing Standing, ring int, where string, pairs ...any) *Finding {
	return c.addWith(words.T("findings."+rule+".fix", pairs...), level, rule, standing, ring, where, pairs...)
}

// addWith notes a finding whose fix is another sentence than findings.RULE.fix.
func (c *checker) addWith(fix words.Text, level Level, rule string, standing Standing, ring int, where string, pairs ...any) *Finding {
	what := words.T("findings."+rule, append(pairs, "Standing", standing.Text())...)
	c.list = append(c.list, Finding{Level: level, Rule: rule, Ring: ring, Where: where, Standing: standing, What: what, Fix: fix})
	return &c.list[len(c.list)-1]
}

func (c *checker) where(row int) string { return c.f.RowWhere(row) }

// partOf is the part that a row belongs to, nil in a figure of one.
func (c *checker) partOf(row int) *figure.Part {
	if len(c.f.Parts) == 0 {
		return nil
	}
	return &c.f.Parts[c.f.PartOf(row)]
}

// cells names units of a ring, index from 0.
func (c *checker) cells(ring int, units ...int) []Cell {
	out := make([]Cell, len(units))
	for i, k := range units {
		out[i] = Cell{Ring: c.f.Rings[ring].ID, Unit: k}
	}
	return out
}
