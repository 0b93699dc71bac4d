package web

import (
	"crypto/rand"
	"net/http"

	"tuckring/internal/figure"
	"tuckring/internal/store"
)

// takeBackOn takes the person's last step back and shows the page again.
func (s *Server) takeBackOn(page string) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		done := "undo"
		if err := s.ask(w, r, store.Ask{Seq: 1, Kind: store.KindUndo}); err != nil {
			if _, err := faultsOf(err); err != nil {
				return err
			}
			done = "stuck"
		}
		http.Redirect(w, r, accessOf(r).base+"/"+page+"?done="+done, http.StatusSeeOther)
		return nil
	}
}

// step carries out one edit that a page without an open editor asks for. Its error is figure.Faults when
// the figure refuses it.
func (s *Server) step(w http.ResponseWriter, r *http.Request, edit figure.Edit) error {
	return s.ask(w, r, store.Ask{Seq: 1, Kind: store.KindEdit, Edit: edit})
}

// ask carries out one ask of such a page.
func (s *Server) ask(w http.ResponseWriter, r *http.Request, ask store.Ask) error {
	who := store.Person{ID: person(w, r)}
	done, err := s.work.begin(r)
	if err != nil {
		return err
	}
	answers, err := s.cfg.Store.Apply(r.Context(), accessOf(r).design, who, rand.Text(), []store.Ask{ask})
	done(workOf(r, answers))
	if err != nil {
		return err
	}
	if faults := answers[0].Faults; len(faults) > 0 {
		return faults
	}
	return nil
}
