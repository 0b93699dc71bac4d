package wire

import (
	"encoding/json"
	"time"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/live"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/store"
	"tuckring/internal/words"
)

// EditsAsk is the body of a request for edits: up to MaxSteps steps of one open page.
type EditsAsk struct {
	Client string `json:"client"`
	Name   string `json:"name"` // the person's, "" when it has none
	Steps  []Step `json:"steps"`
}

// Step is something that a page asks for, under the page's own running number. ReadAsk reads the edit.
type Step struct {
	Seq  int64           `json:"seq"`
	Edit json.RawMessage `json:"edit" wire:"Ask"`
}

// StepResult is what became of a step. Without Refused the figure at Rev has it; with Nothing it changed
// nothing, and no step of that revision will be told.
type StepResult struct {
	Seq     int64    `json:"seq"`
	Rev     int64    `json:"rev,omitempty"`
	Nothing bool     `json:"nothing,omitempty"`
	Refused *Refusal `json:"refused,omitempty"`
	Remarks []string `json:"remarks,omitempty"`
}

// EditsAnswer is the answer to a request for edits, given when they are on the disk.
type EditsAnswer struct {
	Rev     int64          `json:"rev"`
	Results []StepResult   `json:"results"`
	Totals  *report.Totals `json:"totals,omitempty"` // where they are known; otherwise ToldTotals brings them
	History History        `json:"history"`
}

// Refusal says why something was refused: the first fault, and all of them when there are more.
type Refusal struct {
	Faults []Fault `json:"faults,omitempty"`
	Fix    string  `json:"fix"`
	What   string  `json:"what"`
	Where  string  `json:"where"`
}

// Fault is one fault: what is wrong, where, and what would be right.
type Fault struct {
	Fix   string `json:"fix"`
	What  string `json:"what"`
	Where string `json:"where"`
}

// RefusalOf is why a step was refused. There must be at least one fault.
func RefusalOf(say *words.Speaker, faults figure.Faults) *Refusal {
	first := faults[0]
	out := &Refusal{What: say.Say(first.What), Fix: say.Say(first.Fix), Where: first.Where}
	if len(faults) > 1 {
		out.Faults = FaultsOf(say, faults)
	}
	return out
}

// FaultsOf are faults as programs get them.
func FaultsOf(say *words.Speaker, faults figure.Faults) []Fault {
	out := make([]Fault, len(faults))
	for i, f := range faults {
		out[i] = Fault{Where: f.Where, What: say.Say(f.What), Fix: say.Say(f.Fix)}
	}
	return out
}

// Problem is the answer to a request that could not be carried out at all. Expected is the number of the step
// that comes next, when steps came out of turn.
type Problem struct {
	Code     Code    `json:"code"`
	Expected int64   `json:"expected,omitempty"`
	Faults   []Fault `json:"faults,omitempty"`
	Fix      string  `json:"fix"`
	What     string  `json:"what"`
	Where    string  `json:"where"`
}

// StepEvent is a step as everybody who watches gets it.
type StepEvent struct {
	Rev    int64          `json:"rev"`
	Client string         `json:"client"`
	Seq    int64          `json:"seq"`
	Person string         `json:"person"`
	Name   string         `json:"name"`
	Label  string         `json:"label"`
	Undoes int64          `json:"undoes"` // revision of the step that an undo or redo takes back, 0 for none
	Change Change         `json:"change"`
	Totals *report.Totals `json:"totals,omitempty"`
}

// ToldTotals are the totals at a revision, told by themselves where they were not known with its step.
type ToldTotals struct {
	Rev    int64         `json:"rev"`
	Totals report.Totals `json:"totals"`
}

// Nothing is an event that says only that it happened.
type Nothing struct{}

// Alive is the name of the event that says that the stream still stands.
const Alive = "alive"

// Events are the events of a figure's stream by their names, each with the type of what it carries.
var Events = map[string]any{
	live.Step:    StepEvent{},
	live.People:  []live.Person{},
	live.History: History{},
	live.Totals:  ToldTotals{},
	live.Resync:  Nothing{},
	Alive:        Nothing{},
}

// HereAsk tells where a person's hand is: on a unit, or on none when Ring is 0.
type HereAsk struct {
	Client string        `json:"client"`
	Name   string        `json:"name"`
	Ring   figure.RingID `json:"ring"`
	Unit   int           `json:"unit"`
}

// TryAsk asks what an edit would change.
type TryAsk struct {
	Edit json.RawMessage `json:"edit" wire:"Edit"`
}

// Trial is what an edit would do to the figure: Change and Totals, or Refused.
type Trial struct {
	Rev     int64          `json:"rev"`
	Change  *Change        `json:"change,omitempty"`
	Refused *Refusal       `json:"refused,omitempty"`
	Remarks []string       `json:"remarks,omitempty"`
	Totals  *report.Totals `json:"totals,omitempty"`
}

// HistoryStep is a step in the list of steps.
type HistoryStep struct {
	Rev    int64      `json:"rev"`
	At     time.Time  `json:"at"`
	Name   string     `json:"name"` // of the person; may be empty
	Own    bool       `json:"own"`  // made by the person who asks
	Kind   store.Kind `json:"kind"`
	Label  string     `json:"label"`
	Target int64      `json:"target,omitempty"` // undo, redo: the step taken back; restore: the revision gone back to
	Undone bool       `json:"undone,omitempty"`
}

// HistoryList is a page of the list of steps, newest first. More says that there are older ones.
type HistoryList struct {
	More  bool          `json:"more"`
	Steps []HistoryStep `json:"steps"`
}

// Found is what was found when the figure at a revision was looked over: the one list of findings.Check, as
// it is, and how large the figure becomes.
type Found struct {
	Rev      int64              `json:"rev"`
	Findings []findings.Finding `json:"findings"`
	Size     shape.Size         `json:"size"`
}

// Scene is the standing figure but for the places of its units, which follow it as numbers (shape.Stride of
// them a unit). About says in sentences what stands there.
type Scene struct {
	shape.Scene
	Rev   int64    `json:"rev"`
	About []string `json:"about"`
}

// ReadyPaper is a paper that the editor offers.
type ReadyPaper struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Hex  string `json:"hex"`
}
