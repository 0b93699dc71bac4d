package kernel

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/wire"
)

// ReadJSON reads the body of a program's request: one JSON value with no fields but the known ones. Its
// errors are Problems, or *http.MaxBytesError when the body is over the limit.
func ReadJSON(r *http.Request, into any) error {
	if !strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
		return NewProblem(wire.CodeInvalid, "not_json", "Reason", "Content-Type: "+strconv.Quote(r.Header.Get("Content-Type")))
	}
	body, err := io.ReadAll(r.Body)
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return err
	}
	if err != nil {
		return NewProblem(wire.CodeInvalid, "cut_short")
	}
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return NewProblem(wire.CodeInvalid, "not_json", "Reason", figure.Clip(err.Error()))
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return NewProblem(wire.CodeInvalid, "not_json", "Reason", "more than one value")
	}
	return nil
}

// wantsJSON tells a program's request from a person's.
func wantsJSON(r *http.Request) bool {
	return strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") ||
		strings.HasPrefix(r.Header.Get("Accept"), "application/json")
}

// WriteJSON writes v as the whole answer.
func WriteJSON(w http.ResponseWriter, status int, v any) {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(v) // the reader may be gone; nothing is left to do then
}
