package webtest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/wire"
	"tuckring/web/kernel"
)

const TestPage = "11111111-2222-4333-8444-555555555555"

// Sending is a program's request with a JSON body.
func Sending(path, body string) *http.Request {
	r := httptest.NewRequest("POST", path, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	return r
}

// By gives a request the cookie of one person.
func By(person byte, r *http.Request) *http.Request {
	r.AddCookie(&http.Cookie{Name: kernel.PersonCookie, Value: strings.Repeat(string(person), 22)})
	return r
}

// Answer decodes a JSON answer.
func Answer[T any](t *testing.T, w *httptest.ResponseRecorder, status int) (out T) {
	t.Helper()
	require.Equal(t, status, w.Code, w.Body.String())
	require.Equal(t, "application/json", w.Header().Get("Content-Type"))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &out))
	return out
}

type Refusal struct{ Code, What, Fix, Where string }

// Edit sends steps numbered from seq on by one person's page.
func Edit(t *testing.T, s http.Handler, base string, person byte, seq int, edits ...string) wire.EditsAnswer {
	t.Helper()
	var steps []string
	for i, e := range edits {
		steps = append(steps, fmt.Sprintf(`{"seq":%d,"edit":%s}`, seq+i, e))
	}
	w := Ask(t, s, By(person, Sending(base+"/edits", fmt.Sprintf(`{"client":%q,"name":"Mira","steps":[%s]}`, TestPage, strings.Join(steps, ",")))))
	return Answer[wire.EditsAnswer](t, w, 200)
}

func State(t *testing.T, s http.Handler, base string, person byte) wire.State {
	t.Helper()
	return Answer[wire.State](t, Ask(t, s, By(person, Get(base+"/state"))), 200)
}

func Asking(path string, headers ...string) *http.Request {
	r := Get(path)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

var CostlyPages = []string{"/check", "/findings", "/report", "/report.json", "/report.xlsx", "/report/parts.csv", "/list", "/cut", "/kits?people=2", "/build"}

// ReadPage asks for a page and gives its text, white space as single spaces.
func ReadPage(t *testing.T, s http.Handler, path string, status int) string {
	t.Helper()
	w := Ask(t, s, Get(path))
	require.Equal(t, status, w.Code, "%s: %s", path, w.Body.String())
	return strings.Join(strings.Fields(w.Body.String()), " ")
}

func Get(path string) *http.Request { return httptest.NewRequest("GET", path, nil) }

func Post(path string, values url.Values) *http.Request {
	r := httptest.NewRequest("POST", path, strings.NewReader(values.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return r
}

// SendingFile is the request of a form with a chosen file.
func SendingFile(t *testing.T, path, name string, data []byte) *http.Request {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("document", name)
	require.NoError(t, err)
	_, err = part.Write(data)
	require.NoError(t, err)
	require.NoError(t, form.Close())
	r := httptest.NewRequest("POST", path, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return r
}

func With(form url.Values, field, value string) url.Values {
	out := url.Values{}
	for k, v := range form {
		out[k] = v
	}
	out.Set(field, value)
	return out
}

// PageText is what stands on a page, without its tags.
func PageText(w *httptest.ResponseRecorder) string {
	var b strings.Builder
	in := false
	for _, c := range w.Body.String() {
		switch {
		case c == '<':
			in = true
		case c == '>':
			in = false
			b.WriteByte(' ')
		case !in:
			b.WriteRune(c)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
