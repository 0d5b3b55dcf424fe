package html_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"neckfit/report/internal/browser"
	"regexp"
	"strings"
	"testing"
)

// pages are all kinds of page that the package writes.
func pages(t testing.TB) map[string][]byte {
	all := map[string][]byte{"batch": demoBytes(t), "large": largeBytes(t), "kit": render(t, named(t, demo(t), "SSB-03")), "empty": render(t)}
	for name, page := range otherPages(t) {
		all[name] = page
	}
	return all
}

var (
	policyOf = regexp.MustCompile(`<meta http-equiv="Content-Security-Policy" content="([^"]*)">`)
	blocks   = regexp.MustCompile(`(?s)<(style|script)>(.*?)</`)
)

// Every page carries a policy before anything that it governs; the hashes are those of the page's own
// style and script, and there is no other way in.
func TestEveryPageHasAPolicy(t *testing.T) {
	unescape := strings.NewReplacer("&#39;", "'", "&#43;", "+")
	for name, page := range pages(t) {
		m := policyOf.FindSubmatchIndex(page)
		if m == nil {
			t.Errorf("%s has no policy", name)
			continue
		}
		policy := unescape.Replace(string(page[m[2]:m[3]]))
		for _, rule := range []string{"default-src 'none'", "base-uri 'none'", "form-action 'none'"} {
			if !strings.Contains(policy, rule) {
				t.Errorf("%s: the policy lacks %s", name, rule)
			}
		}
		if strings.Contains(policy, "unsafe") || strings.Contains(policy, "http") || strings.Contains(policy, "*") {
			t.Errorf("%s: the policy lets things in: %s", name, policy)
		}
		found := blocks.FindAllSubmatchIndex(page, -1)
		if len(found) == 0 || found[0][0] < m[1] {
			t.Errorf("%s: %d blocks, the first before the policy", name, len(found))
		}
		for _, b := range found {
			sum := sha256.Sum256(page[b[4]:b[5]])
			if want := string(page[b[2]:b[3]]) + "-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]); !strings.Contains(policy, want) {
				t.Errorf("%s: the policy does not know a %s of the page", name, page[b[2]:b[3]])
			}
		}
		if bytes.Contains(page, []byte(" style=")) {
			t.Errorf("%s has a style that no hash covers", name)
		}
	}
}

// A browser keeps the policy: a script, a style, a picture and a connection that came in by whatever way
// are refused, and nothing is asked for.
func TestPolicyIsKept(t *testing.T) {
	b := open(t, demoBytes(t))
	b.Quiet()
	refused := browser.Ask[[]string](b.Tab, `(async () => {
		const seen = new Set();
		document.addEventListener("securitypolicyviolation", (e) => seen.add(e.effectiveDirective));
		const add = (name, attributes, text) => {
			const e = Object.assign(document.createElement(name), attributes);
			e.textContent = text || "";
			document.body.append(e);
		};
		add("script", {}, "window.hacked = 1");
		add("style", {}, "body { display: none }");
		add("img", { src: "https://example.invalid/a.png" });
		document.body.insertAdjacentHTML("beforeend", "<p onclick='window.hacked = 1' style='color: red'></p>");
		document.body.lastElementChild.click();
		try { await fetch("https://example.invalid/"); } catch {}
		await new Promise((r) => setTimeout(r, 200));
		return [...seen, "hacked" in window ? "hacked" : "", getComputedStyle(document.body).display].filter(Boolean).sort();
	})()`)
	if got, want := strings.Join(refused, " "), "block connect-src img-src script-src-attr script-src-elem style-src-attr style-src-elem"; got != want {
		t.Errorf("refused: %s, want %s", got, want)
	}
}
