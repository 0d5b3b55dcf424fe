package html_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"neckfit/fit"
	"neckfit/fit/simulate"
	"neckfit/measure"
	"neckfit/report/html"
)

// demo is the results of the demonstration batch: loose parts, edge checks, dry fits, a left-handed
// kit, suspects and every verdict. Tests only read them.
func demo(t testing.TB) []*fit.Result {
	t.Helper()
	list, err := checked()
	if err != nil {
		t.Fatal(err)
	}
	return slices.Clone(list)
}

var checked = sync.OnceValues(func() ([]*fit.Result, error) { return check("../../testdata/demo") })

// check fits every kit of a batch as the command does for a page.
func check(dir string) (list []*fit.Result, err error) {
	batch, err := measure.Open(dir, measure.Options{Characteristics: fit.Characteristics()})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	kits, err := batch.All(context.Background())
	for _, k := range kits {
		list = append(list, fit.Check(k, fit.Options{Model: true, Limits: batch.Limits, Compensation: batch.Compensation()}))
	}
	return list, err
}

// simulated is a kit surveyed as loose parts with heights.
func simulated(name string, seed uint64) *fit.Result {
	in := simulate.ShortScaleBass()
	rng := rand.New(rand.NewPCG(seed, 1))
	in.CentreLineError = rng.NormFloat64()
	kit := in.Kit(name, simulate.LooseParts(in, rng, simulate.Setup{Heights: true}))
	return fit.Check(kit, fit.Options{Model: true})
}

func render(t testing.TB, results ...*fit.Result) []byte {
	t.Helper()
	page, err := rendered(results...)
	if err != nil {
		t.Fatal(err)
	}
	return page
}

func rendered(results ...*fit.Result) ([]byte, error) {
	var b bytes.Buffer
	w := html.New(context.Background(), &b, html.Options{Batch: "the batch"})
	for _, r := range results {
		if err := w.Kit(r); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return b.Bytes(), err
}

// demoPage is the page of the demonstration batch, and largePage that of a batch whose sections are
// packed.
var (
	demoPage = sync.OnceValues(func() ([]byte, error) {
		list, err := checked()
		if err != nil {
			return nil, err
		}
		return rendered(list...)
	})
	largePage = sync.OnceValues(func() ([]byte, error) {
		list, err := checked()
		if err != nil {
			return nil, err
		}
		return rendered(many(list, large)...)
	})
)

func demoBytes(t testing.TB) []byte {
	t.Helper()
	page, err := demoPage()
	return must(t, page, err)
}

// demoTab is the demonstration batch's page, all of it unfolded and drawn as wide as at a desk; tests
// only read it.
func demoTab(t testing.TB) *tab {
	t.Helper()
	shared.Do(func() {
		page, err := demoPage()
		file := filepath.Join(folder, "demo.html")
		if err = errors.Join(err, os.WriteFile(file, page, 0o600)); err != nil {
			t.Fatal(err)
		}
		shared.tab, _ = openFile(t, file, 10*time.Minute)
		shared.tab.Look(1400, false)
		shared.tab.unfold()
	})
	return &tab{shared.tab.For(t)}
}

var shared struct {
	sync.Once
	tab *tab
}

// section is the selector of a kit's section on the demonstration batch's page.
func section(t testing.TB, kit string) string {
	t.Helper()
	i := slices.IndexFunc(demo(t), func(r *fit.Result) bool { return r.Kit == kit })
	if i < 0 {
		t.Fatalf("the demonstration batch has no kit %s", kit)
	}
	return fmt.Sprintf("#k%d", i+1)
}

func named(t testing.TB, list []*fit.Result, kit string) *fit.Result {
	t.Helper()
	for _, r := range list {
		if r.Kit == kit {
			return r
		}
	}
	t.Fatalf("the demonstration batch has no kit %s", kit)
	return nil
}

func characteristic(t testing.TB, r *fit.Result, name string) fit.Characteristic {
	t.Helper()
	for _, c := range r.Characteristics {
		if c.ID.String() == name {
			return c
		}
	}
	t.Fatalf("no characteristic %s", name)
	return fit.Characteristic{}
}

// measureKit is a kit of which nothing was read.
var measureKit = measure.Kit{Name: "nothing"}

func kitName(i int) string { return fmt.Sprintf("K-%04d", i+1) }
