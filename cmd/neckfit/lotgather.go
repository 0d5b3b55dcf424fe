package main

import (
	"cmp"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"

	"neckfit/fit"
	"neckfit/fit/delivery"
	"neckfit/fit/lot/sampling"
	"neckfit/measure"
	"neckfit/report"
)

// gatherLots reads all paths as one delivery.
func (p *program) gatherLots(ctx context.Context, o lotOptions) (*delivery.Delivery, error) {
	d := &delivery.Delivery{}
	var lists []measure.Info // kits that a batch names, checked or not
	for _, path := range o.paths {
		if checkedAlready(path) {
			if err := gatherChecked(path, d); err != nil {
				return nil, err
			}
			continue
		}
		infos, err := p.gatherBatch(ctx, path, o.rule, d)
		if err != nil {
			return nil, err
		}
		lists = append(lists, infos...)
	}
	for _, k := range lists {
		d.List(k.Kit, k.Lot, k.Supplier)
	}
	return d, nil
}

// checkedAlready tells what check wrote from a batch.
func checkedAlready(path string) bool { return strings.HasSuffix(strings.ToLower(path), ".jsonl") }

func gatherChecked(path string, d *delivery.Delivery) (err error) {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return report.ReadKits(f, path, func(k delivery.Kit) error { return twice(path, d.Add(k)) })
}

// twice makes a kit that is there again the user's mistake.
func twice(path string, err error) error {
	if err == nil {
		return nil
	}
	return misusef("%s: %v", path, err)
}

// gatherBatch checks the kits of a batch, and gives what kits.csv lists, in its order.
func (p *program) gatherBatch(ctx context.Context, path, rule string, d *delivery.Delivery) (_ []measure.Info, err error) {
	batch, err := p.open(path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	options := checkOf(batch, rule)
	var kits []delivery.Kit
	err = p.eachKit(ctx, batch, func() { kits = kits[:0] }, func(k *measure.Kit) error {
		kits = append(kits, delivery.Of(fit.Check(k, options)))
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, k := range kits {
		if err := twice(path, d.Add(k)); err != nil {
			return nil, err
		}
	}
	infos := slices.Collect(maps.Values(batch.Infos))
	slices.SortFunc(infos, func(a, b measure.Info) int { return cmp.Compare(a.Place.Line, b.Place.Line) })
	return infos, nil
}

// readHistory reads the table of earlier lots; there is none without a file.
func readHistory(file string) (past []delivery.Past, err error) {
	if file == "" {
		return nil, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	in := csv.NewReader(f)
	in.Comment, in.TrimLeadingSpace, in.FieldsPerRecord = '#', true, 0
	columns, err := historyHeader(in, file)
	if err != nil {
		return nil, err
	}
	var wrong measure.Errors
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, misusef("%s: %v", file, err)
		}
		line, column := in.FieldPos(columns["accepted"])
		one, ok := historyRow(row, columns)
		if !ok {
			wrong = append(wrong, &measure.CellError{
				Place: measure.Place{File: file, Line: line}, Column: column,
				What: fmt.Sprintf("accepted %q is not understood", row[columns["accepted"]]), Expected: "yes or no",
			})
		}
		past = append(past, one)
	}
	if len(wrong) > 0 {
		return nil, wrong
	}
	return past, nil
}

// historyHeader finds the columns.
func historyHeader(in *csv.Reader, file string) (map[string]int, error) {
	header, err := in.Read()
	if err != nil {
		return nil, misusef("%s: no table of earlier lots: %v", file, err)
	}
	columns := map[string]int{}
	for i, name := range header {
		name = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(name, "\ufeff")))
		if name != "lot" && name != "accepted" && name != "supplier" {
			return nil, misusef("%s: column %q is unknown, expected lot, accepted and perhaps supplier", file, name)
		}
		columns[name] = i
	}
	for _, name := range []string{"lot", "accepted"} {
		if _, ok := columns[name]; !ok {
			return nil, misusef("%s: the header has no column %s", file, name)
		}
	}
	return columns, nil
}

func historyRow(row []string, columns map[string]int) (delivery.Past, bool) {
	past := delivery.Past{Lot: strings.TrimSpace(row[columns["lot"]])}
	if at, ok := columns["supplier"]; ok {
		past.Supplier = strings.TrimSpace(row[at])
	}
	switch strings.ToLower(strings.TrimSpace(row[columns["accepted"]])) {
	case "yes", "accepted", "true", "1":
		past.Accepted = true
		return past, true
	case "no", "rejected", "false", "0":
		return past, true
	}
	return past, false
}

// drawLot says which kits of a lot to draw before anything is measured.
func (p *program) drawLot(o lotOptions) error {
	most := 0
	for _, class := range delivery.Classes {
		if o.aql[class] == 0 {
			continue
		}
		plan, err := sampling.For(o.sample, o.levelOf, o.aql[class], o.severityOf)
		if err != nil {
			return misuse{err}
		}
		most = max(most, plan.Sample)
	}
	if most == 0 {
		return misusef("no class has an AQL, so there is nothing to draw for")
	}
	drawn, err := sampling.Draw(o.sample, most, o.seed)
	if err != nil {
		return err
	}
	return p.write(o.out, nil, func(w io.Writer) error { return report.Draw(o.format, w, o.sample, drawn, o.severityOf, o.seed) })
}
