package bench_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// send makes a request of the page's server, with headers as "Name: value".
func send(t *testing.T, method, address, body string, headers ...string) (code int, text string, h http.Header) {
	t.Helper()
	r, err := http.NewRequest(method, address, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range headers {
		name, value, _ := strings.Cut(line, ": ")
		if name == "Host" {
			r.Host = value
		}
		r.Header.Set(name, value)
	}
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	said, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(said), answer.Header
}

// Whoever is not the page itself is refused, and learns nothing of the folder.
func TestStrangersAreRefused(t *testing.T) {
	dir := emptyFolder(t)
	f, address := serve(t, dir)
	if err := f.NewKit("hidden", "quick", counts, false); err != nil {
		t.Fatal(err)
	}
	root := strings.TrimSuffix(address, "/"+token+"/")
	own := "Origin: " + root
	const isJSON = "Content-Type: application/json"
	entry := `{"Kit":"hidden","Way":"quick"}`
	for _, c := range []struct {
		what, method, address string
		headers               []string
		code                  int
	}{
		{"no token", "GET", root + "/state", nil, 404},
		{"the root", "GET", root + "/", nil, 404},
		{"another token", "GET", root + "/SECRES/state", nil, 404},
		{"a longer token", "GET", root + "/SECRETS/state", nil, 404},
		{"a shorter token", "GET", root + "/SECRE/state", nil, 404},
		{"a blank token", "GET", root + "//state", nil, 404},
		{"a way around", "GET", root + "/x/../SECRET/state", nil, 404},
		{"a name bent to this computer", "GET", address + "state", []string{"Host: evil.example"}, 421},
		{"the right name at another port", "GET", address + "state", []string{"Host: 127.0.0.1:1"}, 421},
		{"another site's page", "POST", address + "kit", []string{"Origin: http://evil.example", isJSON}, 403},
		{"a page without origin", "POST", address + "kit", []string{"Origin: null", isJSON}, 403},
		{"a page of another scheme", "POST", address + "kit", []string{"Origin: " + strings.Replace(root, "http", "https", 1), isJSON}, 403},
		{"nobody's page", "POST", address + "kit", []string{isJSON}, 403},
		{"a form of another site", "POST", address + "kit", []string{own, "Content-Type: text/plain"}, 403},
		{"a picture in another page", "GET", address + "state", []string{"Sec-Fetch-Site: cross-site"}, 403},
		{"a neighbour's page", "GET", address + "state", []string{"Sec-Fetch-Site: same-site"}, 403},
		{"a wrong method", "PUT", address + "entry", []string{own, isJSON}, 400},
		{"deleting", "DELETE", address + "state", nil, 405},
		{"a file of the folder", "GET", address + "readings.csv", nil, 404},
		{"a file of the system", "GET", address + "..%2f..%2fetc%2fpasswd", nil, 404},
	} {
		body := ""
		if c.method == "POST" || c.method == "PUT" {
			body = entry
		}
		code, said, h := send(t, c.method, c.address, body, c.headers...)
		if code != c.code {
			t.Errorf("%s: code %d, want %d: %s", c.what, code, c.code, said)
		}
		if strings.Contains(said, "hidden") {
			t.Errorf("%s is told of the kit: %s", c.what, said)
		}
		if h.Get("Content-Security-Policy") == "" || h.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: %v", c.what, h)
		}
	}
	if code, said, _ := send(t, "POST", address+"state", entry, own, isJSON); code != 405 {
		t.Errorf("code %d: %s", code, said)
	}
	if code, said, _ := send(t, "GET", address+"state?kit=hidden", "", "Sec-Fetch-Site: same-origin"); code != 200 || !strings.Contains(said, "hidden") {
		t.Errorf("the page itself: code %d, %s", code, said)
	}
	if code, _, h := send(t, "GET", strings.TrimSuffix(address, "/"), ""); code != 301 || h.Get("Location") != "/"+token+"/" {
		t.Errorf("code %d to %s", code, h.Get("Location"))
	}
}

// The page loads nothing but its own style and script, has no script in it, and says so to the browser.
func TestPageIsWhole(t *testing.T) {
	_, address := serve(t, emptyFolder(t))
	code, page, h := send(t, "GET", address, "")
	policy := h.Get("Content-Security-Policy")
	for _, want := range []string{"default-src 'none'", "script-src 'self'", "connect-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
		if !strings.Contains(policy, want) {
			t.Errorf("%q is not in %q", want, policy)
		}
	}
	if strings.Contains(policy, "unsafe") || code != 200 {
		t.Errorf("code %d, %q", code, policy)
	}
	for _, never := range []string{"<script>", "style=", "onclick", "http://", "https://", "//"} {
		if strings.Contains(page, never) {
			t.Errorf("the page has %s", never)
		}
	}
	for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Cache-Control": "no-store"} {
		if h.Get(name) != want {
			t.Errorf("%s is %q", name, h.Get(name))
		}
	}
	for file, kind := range map[string]string{"style.css": "text/css; charset=utf-8", "bench.css": "text/css; charset=utf-8", "bench.js": "text/javascript; charset=utf-8"} {
		if code, _, h := send(t, "GET", address+file, ""); code != 200 || h.Get("Content-Type") != kind {
			t.Errorf("%s: code %d, %s", file, code, h.Get("Content-Type"))
		}
	}
}

// What the page never sends is refused, and the folder stays as it is.
func TestStrangeBodies(t *testing.T) {
	dir := emptyFolder(t)
	f, address := serve(t, dir)
	if err := f.NewKit("K", "quick", counts, false); err != nil {
		t.Fatal(err)
	}
	before := read(t, filepath.Join(dir, "readings.csv"))
	s, err := f.State("K")
	if err != nil {
		t.Fatal(err)
	}
	first := s.Kit.Rows[0]
	quote := func(text string) string {
		q, err := json.Marshal(text)
		if err != nil {
			t.Fatal(err)
		}
		return string(q)
	}
	own, isJSON := "Origin: "+strings.TrimSuffix(address, "/"+token+"/"), "Content-Type: application/json"
	for _, body := range []string{
		"", "{", "[]", "null x", `"text"`, `{"Row":"one"}`, `{"Surprise":1}`, "\x00\xff", strings.Repeat("[", 100_000), `{"Kit":"` + strings.Repeat("x", 100_000) + `"}`,
	} {
		if code, said, _ := send(t, "POST", address+"entry", body, own, isJSON); code != 400 {
			t.Errorf("%.30q: code %d %s", body, code, said)
		}
	}
	for _, entry := range []string{
		`{"Row":-5,"Was":"x","Column":"size","Text":"1"}`,
		`{"Row":1e9,"Was":"x","Column":"size","Text":"1"}`,
		fmt.Sprintf(`{"Row":0,"Was":%s,"Column":"size","Text":"1"}`, quote("# a comment")),
		fmt.Sprintf(`{"Row":%d,"Was":%s,"Column":"kit","Text":"1"}`, first.Row, quote(first.Was)),
		fmt.Sprintf(`{"Row":%d,"Was":%s,"Column":"size","Text":%s}`, first.Row, quote(first.Was), quote("1\nK,body,top,,,height,1,1,1")),
		fmt.Sprintf(`{"Row":%d,"Was":%s,"Column":"size","Text":%s}`, first.Row, quote(first.Was), quote("=1+1")),
		fmt.Sprintf(`{"Row":%d,"Was":%s,"Column":"size","Text":"1","Gauge":"no such gauge"}`, first.Row, quote(first.Was)),
	} {
		code, said, _ := send(t, "POST", address+"entry", entry, own, isJSON)
		var reply struct{ Fault string }
		if err := json.Unmarshal([]byte(said), &reply); code != 200 && code != 400 || code == 200 && (err != nil || reply.Fault == "") {
			t.Errorf("%s: code %d %.200s", entry, code, said)
		}
	}
	if after := read(t, filepath.Join(dir, "readings.csv")); after != before {
		t.Errorf("the folder has changed:\n%s", after)
	}
	for _, kit := range []string{`{"Kit":"","Way":"quick"}`, `{"Kit":"#1","Way":"quick"}`, `{"Kit":"N","Way":"by eye"}`, `{"Kit":"K","Way":"quick"}`, `{"Kit":"two\nlines","Way":"quick"}`, `{"Kit":"N","Way":"loose","Strings":1000000000}`, `{"Kit":"N","Way":"loose","Frets":-1,"Strings":4}`} {
		code, said, _ := send(t, "POST", address+"kit", kit, own, isJSON)
		var reply struct{ Fault string }
		if err := json.Unmarshal([]byte(said), &reply); err != nil || code != 200 || reply.Fault == "" {
			t.Errorf("%s: code %d %.200s", kit, code, said)
		}
	}
}

// A body without end is cut off, and the server answers on.
func TestEndlessBody(t *testing.T) {
	_, address := serve(t, emptyFolder(t))
	root := strings.TrimSuffix(address, "/"+token+"/")
	const gigabyte = 1 << 30
	r, err := http.NewRequest("POST", address+"entry", io.LimitReader(zeros{}, gigabyte))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Origin", root)
	r.Header.Set("Content-Type", "application/json")
	begun := time.Now()
	if answer, err := http.DefaultClient.Do(r); err == nil {
		answer.Body.Close()
		if answer.StatusCode == 200 {
			t.Error("taken")
		}
	}
	if took := time.Since(begun); took > 5*time.Second {
		t.Errorf("it took %v", took)
	}
	// A request that never ends its head costs a connection, no more: others are answered.
	slow, err := net.Dial("tcp", strings.TrimPrefix(root, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer slow.Close()
	if _, err := slow.Write([]byte("GET / HTTP/1.1\r\nHost:")); err != nil {
		t.Fatal(err)
	}
	if code, _, _ := send(t, "GET", address+"state", ""); code != 200 {
		t.Errorf("code %d", code)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { return copy(p, bytes.Repeat([]byte("{"), len(p))), nil }
