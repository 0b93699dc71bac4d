package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/live"
	"tuckring/internal/report"
	"tuckring/internal/store"
	"tuckring/internal/words"
)

// Limits of one request for edits. Steps that waited for a lost connection come in several requests.
const (
	maxSteps = 1000
	maxName  = 40 // characters of a person's name
)

// clientPattern is what the ID of an open page may look like: a UUID, or another random word.
var clientPattern = regexp.MustCompile(`^[A-Za-z0-9-]{8,64}$`)

// askedEdits is the body of a request for edits.
type askedEdits struct {
	Client string `json:"client"`
	Name   string `json:"name"` // the person's, when it has one
	Steps  []struct {
		Seq  int64           `json:"seq"`
		Edit json.RawMessage `json:"edit"`
	} `json:"steps"`
}

// wireResult is what became of a step. Without Refused the figure at Rev has it; with Nothing it changed
// nothing, and no step of that revision will be told.
type wireResult struct {
	Seq     int64          `json:"seq"`
	Rev     int64          `json:"rev,omitempty"`
	Nothing bool           `json:"nothing,omitempty"`
	Refused map[string]any `json:"refused,omitempty"`
	Remarks []string       `json:"remarks,omitempty"`
}

type editsAnswer struct {
	Rev     int64         `json:"rev"`
	Results []wireResult  `json:"results"`
	Totals  report.Totals `json:"totals"`
	History wirePast      `json:"history"`
}

// edits carries out the steps that an open page sends and answers when they are on the disk.
func (s *Server) edits(w http.ResponseWriter, r *http.Request) error {
	var asked askedEdits
	if err := readJSON(r, &asked); err != nil {
		return err
	}
	if err := checkClient(asked.Client); err != nil {
		return err
	}
	if len(asked.Steps) == 0 || len(asked.Steps) > maxSteps {
		return problemAt("steps", "steps", "Count", len(asked.Steps), "Max", maxSteps)
	}
	name, err := checkName(asked.Name)
	if err != nil {
		return err
	}
	a := accessOf(r)
	who := store.Person{ID: person(w, r), Name: name}
	if name == "" {
		who.Name = s.live.Name(a.design, who.ID)
	}
	asks := make([]store.Ask, len(asked.Steps))
	for i, step := range asked.Steps {
		asks[i] = askOf(step.Seq, step.Edit)
	}
	answers, err := s.cfg.Store.Apply(r.Context(), a.design, who, asked.Client, asks)
	if err != nil {
		return err
	}
	answer, err := s.answer(r, answers, who)
	if err != nil {
		return err
	}
	s.tellOwn(a.design, asked.Client, who.ID, answer)
	writeJSON(w, http.StatusOK, answer)
	return nil
}

// answer puts the answers in the form in which they travel, with the totals as they are now.
func (s *Server) answer(r *http.Request, answers []store.Answer, who store.Person) (editsAnswer, error) {
	say := speaker(r)
	out := editsAnswer{Results: make([]wireResult, len(answers))}
	for i, a := range answers {
		result := wireResult{Seq: a.Seq, Rev: a.Rev, Nothing: a.Nothing}
		if len(a.Faults) > 0 {
			result = wireResult{Seq: a.Seq, Refused: faultsRefusal(say, a.Faults)}
		}
		for _, remark := range a.Remarks {
			result.Remarks = append(result.Remarks, say.Say(remark))
		}
		out.Results[i] = result
	}
	err := s.cfg.Store.Look(r.Context(), accessOf(r).design, func(n store.Now) (err error) {
		out.Rev, out.Totals = n.Rev, s.totals(n)
		out.History, err = s.past(n, who.ID)
		return err
	})
	return out, err
}

// faultsRefusal is why a step was refused: the first fault, and all of them when there are more.
func faultsRefusal(say *words.Speaker, faults figure.Faults) map[string]any {
	first := faults[0]
	out := map[string]any{"what": say.Say(first.What), "fix": say.Say(first.Fix), "where": first.Where}
	if len(faults) > 1 {
		out["faults"] = wireFaults(say, faults)
	}
	return out
}

// askOf reads what a step asks for. What cannot be understood is refused by the store under its number, so
// that the page can go on with the next. Nearly all steps are edits: the other kinds are looked for only
// when a step is none.
func askOf(seq int64, raw json.RawMessage) store.Ask {
	edit, err := figure.DecodeEdit(raw)
	if err == nil {
		return store.Ask{Seq: seq, Kind: store.KindEdit, Edit: edit}
	}
	var head struct {
		Do  string `json:"do"`
		Rev *int64 `json:"rev"`
	}
	if err := json.Unmarshal(raw, &head); err == nil {
		switch kind := store.Kind(head.Do); kind {
		case store.KindUndo, store.KindRedo:
			return plainAsk(store.Ask{Seq: seq, Kind: kind}, raw, &struct {
				Do string `json:"do"`
			}{})
		case store.KindRestore:
			if head.Rev == nil {
				return store.Ask{Seq: seq, Kind: kind, Faults: figure.Faults{{Where: "rev", What: words.T("figure.missing", "Name", "rev"), Fix: words.T("figure.missing.fix", "Name", "rev")}}}
			}
			return plainAsk(store.Ask{Seq: seq, Kind: kind, Rev: *head.Rev}, raw, &struct {
				Do  string `json:"do"`
				Rev int64  `json:"rev"`
			}{})
		}
	}
	ask := store.Ask{Seq: seq, Kind: store.KindEdit}
	if !errors.As(err, &ask.Faults) {
		ask.Faults = figure.Faults{{What: words.T("web.edits.unread"), Fix: words.T("web.edits.unread.fix")}}
	}
	return ask
}

// plainAsk refuses fields that an undo, redo or restore does not have.
func plainAsk(ask store.Ask, raw json.RawMessage, form any) store.Ask {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(form); err != nil {
		ask.Faults = figure.Faults{{What: words.T("figure.edit.field", "Reason", err.Error()), Fix: words.T("figure.edit.field.fix")}}
	}
	return ask
}

// stepEvent is a step as everybody who watches gets it.
type stepEvent struct {
	Rev    int64          `json:"rev"`
	Client string         `json:"client"`
	Seq    int64          `json:"seq"`
	Person string         `json:"person"`
	Name   string         `json:"name"`
	Label  string         `json:"label"`
	Undoes int64          `json:"undoes"` // revision of the step that an undo or redo takes back
	Change wireChange     `json:"change"`
	Totals *report.Totals `json:"totals,omitempty"`
}

// announce tells everybody who watches of a step (store.Watch).
func (s *Server) announce(n store.Now, step store.Step) (stored func()) {
	settings := s.settingsNow(n)
	totals := report.TotalsOf(context.Background(), n.Figure, settings)
	e := stepEvent{Rev: step.Rev, Client: step.Client, Seq: step.Seq, Person: step.Person.ID, Name: step.Person.Name,
		Label: words.English.Say(step.Label), Change: changeOf(n.Figure, step.Change), Totals: &totals}
	if step.Kind == store.KindUndo || step.Kind == store.KindRedo {
		e.Undoes = step.Target
	}
	told := live.Event{Name: live.Step, Rev: step.Rev}
	var err error
	if told.Data, err = json.Marshal(e); err != nil {
		s.log.Error("a step cannot be told", "design", n.ID, "rev", step.Rev, "error", err)
		told.Name, told.Data = live.Resync, []byte("{}")
	}
	return func() {
		s.told.Store(n.ID, lastTotals{step.Rev, string(n.Settings), settings, totals})
		s.live.Publish(n.ID, told)
	}
}

// tellOwn tells what concerns only the person: all their pages what can be taken back now, and the page
// that asked which of its steps changed nothing, so that it does not wait for them.
func (s *Server) tellOwn(design, client, who string, answer editsAnswer) {
	for _, result := range answer.Results {
		if !result.Nothing {
			continue
		}
		data, err := json.Marshal(stepEvent{Rev: result.Rev, Client: client, Seq: result.Seq, Person: who})
		if err == nil {
			s.live.Tell(design, live.Event{Name: live.Step, Data: data}, func(c, p string) bool { return c == client && p == who })
		}
	}
	if data, err := json.Marshal(answer.History); err == nil {
		s.live.Tell(design, live.Event{Name: live.History, Data: data}, func(_, p string) bool { return p == who })
	}
}

// here takes word of where a person's hand is.
func (s *Server) here(w http.ResponseWriter, r *http.Request) error {
	var at struct {
		Client string        `json:"client"`
		Name   string        `json:"name"`
		Ring   figure.RingID `json:"ring"`
		Unit   int           `json:"unit"`
	}
	if err := readJSON(r, &at); err != nil {
		return err
	}
	if err := checkClient(at.Client); err != nil {
		return err
	}
	name, err := checkName(at.Name)
	if err != nil {
		return err
	}
	a := accessOf(r)
	if err := s.cfg.Store.Look(r.Context(), a.design, func(store.Now) error { return nil }); err != nil {
		return err
	}
	s.live.Here(a.design, at.Client, person(w, r), name, at.Ring, at.Unit)
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func checkClient(client string) error {
	if !clientPattern.MatchString(client) {
		return problemAt("client", "client")
	}
	return nil
}

// checkName makes a person's name, which may be empty, one line without blanks around it.
func checkName(name string) (string, error) {
	name = strings.Join(strings.Fields(name), " ")
	if what, fix, bad := figure.TextFault(name, maxName, false); bad {
		p := problemAt("name", "name")
		p.What, p.Fix = what, fix
		return "", p
	}
	return name, nil
}

// problemAt is a problem with one field of what was sent.
func problemAt(where, name string, pairs ...any) *Problem {
	p := problem(CodeInvalid, name, pairs...)
	p.Where = where
	return p
}

// readJSON reads the body of a program's request: one JSON value with no fields but the known ones. Its
// errors are Problems, or *http.MaxBytesError when the body is over the limit.
func readJSON(r *http.Request, into any) error {
	if !strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
		return problem(CodeInvalid, "not_json", "Reason", "Content-Type: "+strconv.Quote(r.Header.Get("Content-Type")))
	}
	body, err := io.ReadAll(r.Body)
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return err
	}
	if err != nil {
		return problem(CodeInvalid, "cut_short")
	}
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return problem(CodeInvalid, "not_json", "Reason", figure.Clip(err.Error()))
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return problem(CodeInvalid, "not_json", "Reason", "more than one value")
	}
	return nil
}
