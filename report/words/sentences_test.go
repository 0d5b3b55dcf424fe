package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// sentence is a text with four words of small letters in a row.
var sentence = regexp.MustCompile(`\p{Ll}{2,}(?:[,;:]? [\p{Ll}'-]{2,}){3}`)

// speaking are the packages besides this one that may hold sentences, and of what.
var speaking = map[string]string{
	"fit/adjust":              "why equations have no solution",
	"measure":                 "what is wrong with a table, and where",
	"measure/workbook":        "what is wrong with a table, and where",
	"measure/csvtext":         "what is wrong with a table, and where",
	"report":                  "what is wrong with a line of JSON",
	"report/bench":            "what is wrong with an entry",
	"report/html":             "captions of drawings, headings",
	"report/draw":             "labels on paper",
	"report/internal/browser": "what a test of a page lacks",
	"cmd/neckfit":             "usage and its mistakes",
	"cmd/mkdata":              "the story of the invented data",
	".ci":                     "usage",
}

// Every sentence of the program is made in this package, but for a few kinds. Errors do not count:
// whoever notices words them.
func TestSentencesAreMadeHere(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := map[string]bool{}
	err := fs.WalkDir(os.DirFS(root), ".", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		dir := filepath.ToSlash(filepath.Dir(path))
		for _, text := range sentencesOf(t, filepath.Join(root, path)) {
			seen[dir] = true
			if speaking[dir] == "" && dir != "report/words" {
				t.Errorf("%s makes a sentence: %q", path, text)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for dir := range speaking {
		if _, err := os.Stat(filepath.Join(root, dir)); err == nil && !seen[dir] {
			t.Errorf("%s holds no sentence any more: take it off the list", dir)
		}
	}
	if !seen["report/words"] {
		t.Error("no sentence was found here: the test does not see them")
	}
}

// sentencesOf are the string literals of a file that are sentences, but for tags and what only goes
// into an error or a panic.
func sentencesOf(t *testing.T, file string) (list []string) {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.Field:
			n.Tag = nil
		case *ast.CallExpr:
			switch fun := n.Fun.(type) {
			case *ast.Ident:
				return fun.Name != "panic"
			case *ast.SelectorExpr:
				return fun.Sel.Name != "Errorf" && fun.Sel.Name != "New"
			}
		case *ast.BasicLit:
			if text, err := strconv.Unquote(n.Value); err == nil && n.Kind == token.STRING && sentence.MatchString(text) {
				list = append(list, text)
			}
		}
		return true
	})
	return list
}
