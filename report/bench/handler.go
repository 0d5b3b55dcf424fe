package bench

import (
	"crypto/subtle"
	_ "embed" // the page
	"encoding/json"
	"errors"
	"html/template"
	"io"
	"mime"
	"net/http"
	"strings"

	"neckfit/report/html"
	"neckfit/report/sheet"
)

var (
	//go:embed page.html
	pageHTML string
	//go:embed bench.css
	benchCSS string
	//go:embed bench.js
	benchJS string
)

// policy lets the page load its own style and script, ask its own server, and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// largestBody is many times what the page sends.
const largestBody = 64 << 10

// Handler serves the page below /TOKEN/ to whoever knows the token and names one of the hosts, as
// host:port, that the page may be asked for by; another site's page that makes a browser ask is
// refused, whether it knows the name or has bent one of its own to this computer.
func Handler(f *Folder, token string, host func(string) bool) http.Handler {
	mux := http.NewServeMux()
	marks, err := html.Marks()
	if err != nil {
		panic("bench: " + err.Error()) // it is embedded
	}
	for path, of := range map[string]struct{ text, kind string }{
		"/{$}":       {strings.Replace(pageHTML, "<!--marks-->", string(marks), 1), "text/html"},
		"/style.css": {html.Style(), "text/css"}, "/bench.css": {benchCSS, "text/css"}, "/bench.js": {benchJS, "text/javascript"},
	} {
		mux.HandleFunc("GET "+path, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", of.kind+"; charset=utf-8")
			_, _ = io.WriteString(w, of.text) // who has gone wants no answer
		})
	}
	mux.HandleFunc("GET /state", func(w http.ResponseWriter, r *http.Request) {
		s, err := f.State(r.URL.Query().Get("kit"))
		answer(w, s, err)
	})
	mux.HandleFunc("GET /plans", func(w http.ResponseWriter, r *http.Request) {
		row, tells, laid, err := f.Plans(r.URL.Query().Get("kit"))
		answer(w, reply{Row: row, Tells: tells, Laid: laid}, err)
	})
	for path, do := range map[string]func(*request, *reply) error{
		"try":    func(q *request, _ *reply) error { return f.Try(q.entry()) },
		"entry":  func(q *request, _ *reply) error { return f.Enter(q.entry()) },
		"undo":   func(*request, *reply) error { return f.Undo() },
		"repeat": func(q *request, _ *reply) error { return f.Repeat(q.Row, q.Was) },
		"kit": func(q *request, _ *reply) error {
			return f.NewKit(q.Kit, q.Way, sheet.Instrument{Strings: q.Strings, Frets: q.Frets, NeckScrews: q.NeckScrews, BridgeScrews: q.BridgeScrews}, q.Left)
		},
		"whatif": func(q *request, a *reply) (err error) {
			a.Laid, err = f.WhatIf(q.Kit, q.Moves)
			return err
		},
	} {
		mux.HandleFunc("POST /"+path, func(w http.ResponseWriter, r *http.Request) {
			post(w, r, f, path != "try" && path != "whatif", do)
		})
	}
	return guard(http.StripPrefix("/"+token, mux), token, host)
}

// request is what the page sends.
type request struct {
	Kit, Was, Column, Text, Gauge, Way            string
	Row, Strings, Frets, NeckScrews, BridgeScrews int
	Left                                          bool
	Moves                                         Moves
}

// reply is what the page gets. What the reader does not take is an answer like another: a fault, beside
// the state as it is.
type reply struct {
	Fault string        `json:"fault"`
	State *State        `json:"state"`
	Laid  template.HTML `json:"laid"`  // a part of the page
	Tells string        `json:"tells"` // which reading would tell most
	Row   int           `json:"row"`   // its row
}

func (q *request) entry() Entry {
	return Entry{Row: q.Row, Was: q.Was, Column: q.Column, Text: q.Text, Gauge: q.Gauge}
}

// post does what the page asks for.
func post(w http.ResponseWriter, r *http.Request, f *Folder, withState bool, do func(*request, *reply) error) {
	var q request
	in := json.NewDecoder(http.MaxBytesReader(w, r.Body, largestBody))
	in.DisallowUnknownFields()
	if err := errors.Join(in.Decode(&q), end(in)); err != nil {
		http.Error(w, "not what this page sends", http.StatusBadRequest)
		return
	}
	var a reply
	var refusal *Refusal
	err := do(&q, &a)
	if errors.As(err, &refusal) || errors.Is(err, errMoved) || errors.Is(err, errForeign) {
		a.Fault, err = err.Error(), nil
	}
	if withState && err == nil {
		a.State, err = f.State(q.Kit)
	}
	answer(w, a, err)
}

// end is nil when nothing more follows.
func end(in *json.Decoder) error {
	if _, err := in.Token(); err != io.EOF {
		return errors.Join(errors.New("more follows"), err)
	}
	return nil
}

func answer(w http.ResponseWriter, what any, err error) {
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(what) // who has gone wants no answer
}

// guard refuses whoever is not the page itself, before anything is read.
func guard(next http.Handler, token string, host func(string) bool) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		given, _, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
		origin, site := r.Header.Get("Origin"), r.Header.Get("Sec-Fetch-Site")
		kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
		switch {
		case !host(r.Host):
			http.Error(w, "not by this name", http.StatusMisdirectedRequest)
		case subtle.ConstantTimeCompare([]byte(given), []byte(token)) != 1:
			http.Error(w, "the address is not whole: take it as neckfit bench shows it", http.StatusNotFound)
		case origin != "" && origin != "http://"+r.Host, site == "cross-site", site == "same-site":
			http.Error(w, "not from another page", http.StatusForbidden)
		case r.Method == http.MethodPost && (origin == "" || kind != "application/json"):
			http.Error(w, "only from the page itself", http.StatusForbidden)
		case r.Method != http.MethodPost && r.ContentLength != 0:
			http.Error(w, "nothing is to be sent here", http.StatusBadRequest)
		case r.URL.Path == "/"+token:
			http.Redirect(w, r, "/"+token+"/", http.StatusMovedPermanently)
		default:
			next.ServeHTTP(w, r)
		}
	})
}
