package wire

import (
	"bytes"
	"encoding/json"
	"errors"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/internal/words"
)

// Asks are what a step may ask for beside an edit, by what stands in "do", each with the fields it has.
var Asks = map[store.Kind]any{
	store.KindUndo:    struct{}{},
	store.KindRedo:    struct{}{},
	store.KindRestore: Restore{},
}

// Restore brings back the figure of an earlier revision, as a new step.
type Restore struct {
	Rev int64 `json:"rev"`
}

// ReadAsk reads what a step asks for. What cannot be understood is refused by the store under its number, so
// that the page can go on with the next. Nearly all steps are edits: the other kinds are looked for only
// when a step is none.
func ReadAsk(seq int64, raw json.RawMessage) store.Ask {
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
