package kernel

import (
	"crypto/rand"
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/store"
)

// TakeBackOn takes the person's last step back and shows the page again.
func (s *App) TakeBackOn(page string) Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		done := "undo"
		if err := s.ask(w, r, store.Ask{Seq: 1, Kind: store.KindUndo}); err != nil {
			if _, err := FaultsOf(err); err != nil {
				return err
			}
			done = "stuck"
		}
		http.Redirect(w, r, AccessOf(r).Base+"/"+page+"?done="+done, http.StatusSeeOther)
		return nil
	}
}

// TakeStep carries out one edit that a page without an open editor asks for. Its error is figure.Faults when
// the figure refuses it.
func (s *App) TakeStep(w http.ResponseWriter, r *http.Request, edit figure.Edit) error {
	return s.ask(w, r, store.Ask{Seq: 1, Kind: store.KindEdit, Edit: edit})
}

// ask carries out one ask of such a page.
func (s *App) ask(w http.ResponseWriter, r *http.Request, ask store.Ask) error {
	who := store.Person{ID: Person(w, r)}
	done, err := s.Work.Begin(r)
	if err != nil {
		return err
	}
	answers, err := s.Store.Apply(r.Context(), AccessOf(r).Design, who, rand.Text(), []store.Ask{ask})
	done(WorkOf(r, answers))
	if err != nil {
		return err
	}
	if faults := answers[0].Faults; len(faults) > 0 {
		return faults
	}
	return nil
}
