package bench

import (
	"crypto/subtle"
	"embed"
	"encoding/json"
	"errors"
	"io"
	"mime"
	"net/http"
	"strings"

	"neckfit/report/sheet"
)

//go:embed page.html bench.css bench.js
var files embed.FS

// policy lets the page load its own style and script, ask its own server, and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// largestBody is many times what the page sends.
const largestBody = 64 << 10

// Handler serves the page below /TOKEN/ to whoever knows the token and names one of the hosts, as
// host:port, that the page may be asked for by; another site's page that makes a browser ask is
// refused, whether it knows the name or has bent one of its own to this computer.
func Handler(f *Folder, token string, host func(string) bool) http.Handler {
	mux := http.NewServeMux()
	for path, of := range map[string]struct{ file, kind string }{
		"/{$}": {"page.html", "text/html; charset=utf-8"}, "/bench.css": {"bench.css", "text/css; charset=utf-8"}, "/bench.js": {"bench.js", "text/javascript; charset=utf-8"},
	} {
		text, err := files.ReadFile(of.file)
		if err != nil {
			panic("bench: " + err.Error()) // it is embedded
		}
		mux.HandleFunc("GET "+path, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", of.kind)
			_, _ = w.Write(text) // who has gone wants no answer
		})
	}
	mux.HandleFunc("GET /state", func(w http.ResponseWriter, r *http.Request) {
		s, err := f.State(r.URL.Query().Get("kit"))
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		answer(w, s)
	})
	for path, do := range map[string]func(*request) error{
		"try":    func(q *request) error { return f.Try(q.entry()) },
		"entry":  func(q *request) error { return f.Enter(q.entry()) },
		"undo":   func(*request) error { return f.Undo() },
		"repeat": func(q *request) error { return f.Repeat(q.Row, q.Was) },
		"kit": func(q *request) error {
			return f.NewKit(q.Kit, q.Way, sheet.Instrument{Strings: q.Strings, Frets: q.Frets, NeckScrews: q.NeckScrews, BridgeScrews: q.BridgeScrews}, q.Left)
		},
	} {
		mux.HandleFunc("POST /"+path, func(w http.ResponseWriter, r *http.Request) { post(w, r, f, path != "try", do) })
	}
	return guard(http.StripPrefix("/"+token, mux), token, host)
}

// request is what the page sends.
type request struct {
	Kit, Was, Column, Text, Gauge, Way            string
	Row, Strings, Frets, NeckScrews, BridgeScrews int
	Left                                          bool
}

func (q *request) entry() Entry {
	return Entry{Row: q.Row, Was: q.Was, Column: q.Column, Text: q.Text, Gauge: q.Gauge}
}

// post does what the page asks for. What the reader does not take is an answer like another: fault,
// beside the state as it is.
func post(w http.ResponseWriter, r *http.Request, f *Folder, withState bool, do func(*request) error) {
	var q request
	in := json.NewDecoder(http.MaxBytesReader(w, r.Body, largestBody))
	in.DisallowUnknownFields()
	if err := errors.Join(in.Decode(&q), end(in)); err != nil {
		http.Error(w, "not what this page sends", http.StatusBadRequest)
		return
	}
	var reply struct {
		Fault string `json:"fault"`
		State *State `json:"state"`
	}
	var refusal *Refusal
	switch err := do(&q); {
	case errors.As(err, &refusal), errors.Is(err, errMoved), errors.Is(err, errForeign):
		reply.Fault = err.Error()
	case err != nil:
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	if withState {
		s, err := f.State(q.Kit)
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		reply.State = s
	}
	answer(w, reply)
}

// end is nil when nothing more follows.
func end(in *json.Decoder) error {
	if _, err := in.Token(); err != io.EOF {
		return errors.Join(errors.New("more follows"), err)
	}
	return nil
}

func answer(w http.ResponseWriter, what any) {
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
