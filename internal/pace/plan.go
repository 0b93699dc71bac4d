package pace

import (
	"math"
	"strconv"

	"tuckring/internal/words"
)

// Task is what a person does in a block of the plan.
type Task string

// The tasks of a plan in the order of the work. Tidying is everybody's.
const (
	Cutting    Task = "cutting"
	Folding    Task = "folding"
	Assembling Task = "assembling"
	Finishing  Task = "finishing"
	Tidying    Task = "tidying"
)

// Everybody is the person of a block that all share.
const Everybody = -1

// Block is one bar of the chart: who does what when. Times are minutes from the session's beginning.
type Block struct {
	Session int     `json:"session"` // from 1
	Person  int     `json:"person"`  // from 0; Everybody is -1
	Task    Task    `json:"task"`
	FromMin float64 `json:"from_min"`
	ToMin   float64 `json:"to_min"`
}

// Plan is a job laid out in sessions of equal length. Glue dries after the last session.
type Plan struct {
	People     int     `json:"people"`
	SessionMin float64 `json:"session_min"`
	Sessions   int     `json:"sessions"`      // likely number
	Low        int     `json:"sessions_low"`  // if all goes quickly
	High       int     `json:"sessions_high"` // if all goes slowly
	CutBefore  bool    `json:"cut_before"`    // the paper is cut before the first session
	Blocks     []Block `json:"blocks"`        // empty when the chart would have more than MaxBlocks bars
}

// Bounds of a plan.
const (
	MinSessionMin = 20.0
	MaxSessionMin = 600.0
	MaxBlocks     = 2000
)

// Plan lays a job out in sessions of so many minutes, of which some go into laying out and tidying
// up (the default "tidy", never more than half the session). With cutBefore, an adult cuts the paper
// beforehand and the first session begins with folding.
func (r Rates) Plan(e Estimate, sessionMin float64, cutBefore bool) Plan {
	p := Plan{People: e.People, SessionMin: sessionMin, CutBefore: cutBefore}
	tidy := r[Tidy].Range
	net := func(tidy float64) float64 { return sessionMin - min(tidy, sessionMin/2) }
	work := e.Total
	if cutBefore {
		work = Range{work.Low - e.Cutting.Low, work.Best - e.Cutting.Best, work.High - e.Cutting.High}
	}
	count := func(work, drying, net float64) int { return max(1, int(math.Ceil((work-drying)/net-1e-9))) }
	p.Low = count(work.Low, e.Drying.Low, net(tidy.Low))
	p.Sessions = count(work.Best, e.Drying.Best, net(tidy.Best))
	p.High = count(work.High, e.Drying.High, net(tidy.High))
	if p.Sessions*(e.People+2) <= MaxBlocks {
		p.Blocks = chart(e, net(tidy.Best), sessionMin, p.Sessions, cutBefore)
	}
	return p
}

// Text says the plan in one sentence: "4 sessions of 90 minutes with 9 people (3 to 6)".
func (p Plan) Text() words.Text {
	people := words.T("pace.people", "Count", p.People)
	if p.Low < p.High {
		people = words.T("pace.plan.range", "People", people, "Low", p.Low, "High", p.High)
	}
	return words.T("pace.plan", "Count", p.Sessions, "Minutes", strconv.FormatFloat(p.SessionMin, 'f', -1, 64), "People", people)
}

// Text says the task.
func (t Task) Text() words.Text { return words.T("pace.task." + string(t)) }

// chart lays the stages end to end and cuts them at the ends of the sessions.
func chart(e Estimate, net, session float64, sessions int, cutBefore bool) []Block {
	var out []Block
	at := 0.0
	stage := func(task Task, person int, minutes float64) {
		out = appendBlocks(out, Block{Person: person, Task: task}, at, at+minutes, net)
	}
	if !cutBefore {
		stage(Cutting, 0, e.Cutting.Best)
		at += e.Cutting.Best
	}
	for i, s := range e.Shares {
		stage(Folding, i, s.Folding.Best)
	}
	at += e.Folding.Best
	for i := range e.Builders {
		stage(Assembling, i, e.Assembly.Best)
	}
	at += e.Assembly.Best
	stage(Finishing, 0, e.Finishing.Best-e.Drying.Best)
	for s := 1; s <= sessions; s++ {
		out = append(out, Block{Session: s, Person: Everybody, Task: Tidying, FromMin: net, ToMin: session})
	}
	return out
}

// appendBlocks adds a stretch of net working time as blocks, one for each session it touches.
func appendBlocks(out []Block, b Block, from, to, net float64) []Block {
	for to-from > 1e-9 {
		i := math.Floor(from/net + 1e-9)
		end := min(to, (i+1)*net)
		b.Session, b.FromMin, b.ToMin = int(i)+1, from-i*net, end-i*net
		out = append(out, b)
		from = end
	}
	return out
}
