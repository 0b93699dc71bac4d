package pattern

import (
	"context"
	"encoding/json"
	"net/http"
	"regexp"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/live"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/wire"
	"tuckring/internal/words"
	"tuckring/web/kernel"
)

// maxHere is the most bytes of word of where a hand is.
const maxHere = 4 << 10

// clientPattern is what the ID of an open page may look like: a UUID, or another random word.
var clientPattern = regexp.MustCompile(`^[A-Za-z0-9-]{8,64}$`)

// edits carries out the steps that an open page sends and answers when they are on the disk.
func (s *room) edits(w http.ResponseWriter, r *http.Request) error {
	if err := s.Work.Check(r); err != nil {
		return err
	}
	var asked wire.EditsAsk
	if err := kernel.ReadJSON(r, &asked); err != nil {
		return err
	}
	if err := checkClient(asked.Client); err != nil {
		return err
	}
	if len(asked.Steps) == 0 || len(asked.Steps) > wire.MaxSteps {
		return kernel.ProblemAt("steps", "steps", "Count", len(asked.Steps), "Max", wire.MaxSteps)
	}
	name, err := checkName(asked.Name)
	if err != nil {
		return err
	}
	a := kernel.AccessOf(r)
	who := store.Person{ID: kernel.Person(w, r), Name: name}
	if name == "" {
		who.Name = s.Live.Name(a.Design, who.ID)
	}
	asks := make([]store.Ask, len(asked.Steps))
	for i, step := range asked.Steps {
		asks[i] = wire.ReadAsk(step.Seq, step.Edit)
	}
	done, err := s.Work.Begin(r)
	if err != nil {
		return err
	}
	answers, err := s.Store.Apply(r.Context(), a.Design, who, asked.Client, asks)
	done(kernel.WorkOf(r, answers))
	if err != nil {
		return err
	}
	answer, err := s.answer(r, answers, who)
	if err != nil {
		return err
	}
	s.tellOwn(a.Design, asked.Client, who.ID, answer)
	kernel.WriteJSON(w, http.StatusOK, answer)
	return nil
}

// answer puts the answers in the form in which they travel, with the totals as they are now, if they are known.
func (s *room) answer(r *http.Request, answers []store.Answer, who store.Person) (wire.EditsAnswer, error) {
	say := kernel.Speaker(r)
	out := wire.EditsAnswer{Results: make([]wire.StepResult, len(answers))}
	for i, a := range answers {
		result := wire.StepResult{Seq: a.Seq, Rev: a.Rev, Nothing: a.Nothing}
		if len(a.Faults) > 0 {
			result = wire.StepResult{Seq: a.Seq, Refused: wire.RefusalOf(say, a.Faults)}
		}
		for _, remark := range a.Remarks {
			result.Remarks = append(result.Remarks, say.Say(remark))
		}
		out.Results[i] = result
	}
	err := s.Store.Look(r.Context(), kernel.AccessOf(r).Design, func(n store.Now) (err error) {
		if totals, known := s.totalsAtOnce(n); known {
			out.Totals = &totals
		}
		out.Rev = n.Rev
		out.History, err = s.past(n, who.ID)
		return err
	})
	return out, err
}

// announce tells everybody who watches of a step (store.Watch). It holds the figure: totals for which a layout has to
// be searched are told later.
func (s *room) announce(n store.Now, step store.Step) (stored func()) {
	settings, _ := kernel.SettingsOf(n)
	totals, known := report.TotalsAtOnce(context.Background(), n.Figure, settings)
	e := wire.StepEvent{Rev: step.Rev, Client: step.Client, Seq: step.Seq, Person: step.Person.ID, Name: step.Person.Name,
		Label: words.English.Say(step.Label), Change: wire.ChangeOf(n.Figure, step.Change)}
	if known {
		e.Totals = &totals
	}
	if step.Kind == store.KindUndo || step.Kind == store.KindRedo {
		e.Undoes = step.Target
	}
	event := live.Event{Name: live.Step, Rev: step.Rev}
	var err error
	if event.Data, err = json.Marshal(e); err != nil {
		s.Log.Error("a step cannot be told", "design", n.ID, "rev", step.Rev, "error", err)
		event.Name, event.Data = live.Resync, []byte("{}")
	}
	return func() {
		s.Live.Publish(n.ID, event)
		if !known {
			s.counter.later(n.ID, s.tellTotals)
			return
		}
		s.last.Store(n.ID, stepTotals{step.Rev, string(n.Settings), totals})
	}
}

// tellOwn tells what concerns only the person: all their pages what can be taken back now, and the page
// that asked which of its steps changed nothing, so that it does not wait for them.
func (s *room) tellOwn(design, client, who string, answer wire.EditsAnswer) {
	for _, result := range answer.Results {
		if !result.Nothing {
			continue
		}
		data, err := json.Marshal(wire.StepEvent{Rev: result.Rev, Client: client, Seq: result.Seq, Person: who})
		if err == nil {
			s.Live.Tell(design, live.Event{Name: live.Step, Data: data}, func(c, p string) bool { return c == client && p == who })
		}
	}
	if data, err := json.Marshal(answer.History); err == nil {
		s.Live.Tell(design, live.Event{Name: live.History, Data: data}, func(_, p string) bool { return p == who })
	}
}

func checkClient(client string) error {
	if !clientPattern.MatchString(client) {
		return kernel.ProblemAt("client", "client")
	}
	return nil
}

// checkName makes a person's name, which may be empty, one line without blanks around it.
func checkName(name string) (string, error) {
	name = strings.Join(strings.Fields(name), " ")
	if what, fix, bad := figure.NameFault(name, wire.MaxPersonName, false); bad {
		p := kernel.ProblemAt("name", "name")
		p.What, p.Fix = what, fix
		return "", p
	}
	return name, nil
}
