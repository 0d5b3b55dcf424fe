// Mutate tells whether the tests hold the numbers: it changes one operator, comparison, condition or
// constant at a time, runs the tests of that package, and lists the changes that no test noticed.
//
//	go run .ci/mutate.go -n 300 ./fit ./fit/adjust ./measure
//	go run .ci/mutate.go -n 40 -seed 7 -also ./fit,./cmd/neckfit ./fit/survey
//	go run .ci/mutate.go -at survivors.txt -also ./fit,./cmd/neckfit ./fit/survey
//
// -at tries again the changes that an earlier run listed, as long as they have not moved; -list prints a sample.
// The sample is fixed by -seed and the sources. The sources stay as they are: the changed file is
// handed to the compiler as an overlay. A change that does not compile is not counted. Tests are run
// with -short; -also names packages whose tests are asked when the package's own noticed nothing.
package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// mutant is one change: the text from one offset of a file to another is replaced.
type mutant struct {
	pkg, file string
	line, col int
	from, to  int
	old, new  string
}

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d:%d: %s -> %s", m.file, m.line, m.col, m.old, m.new)
}

// swaps says what an operator is changed into.
var swaps = map[token.Token]string{
	token.ADD: "-", token.SUB: "+", token.MUL: "/", token.QUO: "*",
	token.LSS: ">=", token.GEQ: "<", token.GTR: "<=", token.LEQ: ">",
	token.EQL: "!=", token.NEQ: "==", token.LAND: "||", token.LOR: "&&",
}

func main() {
	n := flag.Int("n", 300, "how many mutants to try")
	seed := flag.Uint64("seed", 1, "which sample")
	also := flag.String("also", "", "packages whose tests are run for what survives, with commas between")
	jobs := flag.Int("j", 2, "how many at once")
	again := flag.String("at", "", "a file with lines of an earlier run: only those are tried, and all of them")
	limit := flag.String("timeout", "180s", "for the tests of one mutant; a mutant that takes longer counts as killed")
	list := flag.Bool("list", false, "print the sample and try nothing")
	flag.Parse()
	var all []mutant
	for _, pkg := range flag.Args() {
		found, err := mutantsOf(pkg)
		if err != nil {
			fmt.Fprintln(os.Stderr, "mutate:", err)
			os.Exit(1)
		}
		all = append(all, found...)
	}
	rng := rand.New(rand.NewPCG(*seed, 1))
	rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	if *again != "" {
		text, err := os.ReadFile(*again)
		check(err)
		lines := strings.Split(string(text), "\n")
		all = slices.DeleteFunc(all, func(m mutant) bool { return !slices.Contains(lines, "survives: "+m.String()) })
		*n = len(all)
	}
	if *list {
		for _, m := range all[:min(*n, len(all))] {
			fmt.Println(m)
		}
		return
	}
	var more []string
	if *also != "" {
		more = strings.Split(*also, ",")
	}
	killed, tried := run(all, *n, *jobs, *limit, more)
	fmt.Printf("%d mutants of %d, %d killed (%.1f %%)\n", tried, len(all), killed, 100*float64(killed)/float64(max(tried, 1)))
}

// run tries mutants in the order of the list until n of them compiled.
func run(all []mutant, n, jobs int, limit string, more []string) (killed, tried int) {
	var lock sync.Mutex
	var wait sync.WaitGroup
	next := 0
	take := func() (mutant, bool) {
		lock.Lock()
		defer lock.Unlock()
		if tried >= n || next >= len(all) {
			return mutant{}, false
		}
		next, tried = next+1, tried+1
		return all[next-1], true
	}
	for range jobs {
		wait.Go(func() {
			for {
				m, ok := take()
				if !ok {
					return
				}
				compiles, dead := try(m, limit, more)
				lock.Lock()
				switch {
				case !compiles:
					tried--
				case dead:
					killed++
				default:
					fmt.Printf("survives: %s\n", m)
				}
				lock.Unlock()
			}
		})
	}
	wait.Wait()
	return killed, tried
}

// try runs the tests with one mutant in place.
func try(m mutant, limit string, more []string) (compiles, killed bool) {
	dir, err := os.MkdirTemp("", "mutate-")
	check(err)
	defer func() { check(os.RemoveAll(dir)) }()
	source, err := os.ReadFile(m.file)
	check(err)
	changed := filepath.Join(dir, "mutant.go")
	check(os.WriteFile(changed, []byte(string(source[:m.from])+m.new+string(source[m.to:])), 0o600))
	whole, err := filepath.Abs(m.file)
	check(err)
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {whole: changed}})
	check(err)
	overlayFile := filepath.Join(dir, "overlay.json")
	check(os.WriteFile(overlayFile, overlay, 0o600))
	for _, pkg := range append([]string{m.pkg}, more...) {
		out, err := exec.Command("go", "test", "-short", "-failfast", "-vet=off", "-timeout", limit, "-overlay", overlayFile, pkg).CombinedOutput()
		if bytes.Contains(out, []byte("[build failed]")) || bytes.Contains(out, []byte("[setup failed]")) {
			return false, false
		}
		if err != nil {
			return true, true
		}
	}
	return true, false
}

// mutantsOf lists every change of a package's own files, in the order of the files.
func mutantsOf(pkg string) ([]mutant, error) {
	files, err := filepath.Glob(filepath.Join(pkg, "*.go"))
	if err != nil {
		return nil, err
	}
	if len(files) == 0 {
		return nil, fmt.Errorf("no Go files in %s", pkg)
	}
	var list []mutant
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		tree, err := parser.ParseFile(set, file, nil, 0)
		if err != nil {
			return nil, err
		}
		add := func(at token.Pos, old, changed string) {
			p := set.Position(at)
			list = append(list, mutant{pkg, file, p.Line, p.Column, p.Offset, p.Offset + len(old), old, changed})
		}
		ast.Inspect(tree, func(node ast.Node) bool {
			switch x := node.(type) {
			case *ast.BinaryExpr:
				if s, ok := swaps[x.Op]; ok {
					add(x.OpPos, x.Op.String(), s)
				}
			case *ast.UnaryExpr:
				if x.Op == token.SUB || x.Op == token.NOT {
					add(x.OpPos, x.Op.String(), " ")
				}
			case *ast.BasicLit:
				if s, ok := otherNumber(x); ok {
					add(x.Pos(), x.Value, s)
				}
			case *ast.ImportSpec, *ast.ArrayType:
				return false // the length of an array is no number of the trade
			}
			return true
		})
	}
	return list, nil
}

// otherNumber is a float a tenth larger, or the next integer.
func otherNumber(x *ast.BasicLit) (string, bool) {
	switch x.Kind {
	case token.FLOAT:
		v, err := strconv.ParseFloat(x.Value, 64)
		if err != nil || v == 0 {
			return "", false
		}
		return strconv.FormatFloat(v*1.1, 'g', -1, 64), true
	case token.INT:
		v, err := strconv.ParseInt(x.Value, 0, 64)
		if err != nil {
			return "", false
		}
		return strconv.FormatInt(v+1, 10), true
	}
	return "", false
}

func check(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}
