package main

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"io"
	"maps"
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
			if err := p.gatherChecked(path, d); err != nil {
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

func (p *program) gatherChecked(path string, d *delivery.Delivery) error {
	f, err := p.openTable(path)
	if err != nil {
		return err
	}
	defer f.Close()
	return report.ReadKits(&shortLines{in: f, of: path, line: 1}, path, func(k delivery.Kit) error { return twice(path, d.Add(k)) })
}

// maxJSONLine is a hundred times what a kit's line takes with its remedy.
const maxJSONLine = 4 << 20

// shortLines is a stream that ends with a complaint in a line that has no end, which would fill the
// memory.
type shortLines struct {
	in              io.Reader
	of              string
	line, longSoFar int
}

func (s *shortLines) Read(p []byte) (int, error) {
	n, err := s.in.Read(p)
	s.line += bytes.Count(p[:n], []byte("\n"))
	if end := bytes.LastIndexByte(p[:n], '\n'); end >= 0 {
		s.longSoFar = n - 1 - end
	} else {
		s.longSoFar += n
	}
	if s.longSoFar > maxJSONLine {
		return 0, misusef("%s:%d: the line is longer than %d bytes, expected a line as check --format jsonl writes it", s.of, s.line, maxJSONLine)
	}
	return n, err
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
	options.Terse = true // a lot counts verdicts and values
	var kits []delivery.Kit
	judge := func(k *measure.Kit) delivery.Kit { return delivery.Of(fit.Check(k, options)) }
	err = eachKit(ctx, p, batch, func() { kits = kits[:0] }, judge, func(k delivery.Kit) error {
		kits = append(kits, k)
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
func (p *program) readHistory(file string) (past []delivery.Past, err error) {
	if file == "" {
		return nil, nil
	}
	f, err := p.openTable(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	lots, err := measure.ReadHistory(file, f)
	if err != nil {
		return nil, err
	}
	for _, l := range lots {
		past = append(past, delivery.Past{Lot: l.Lot, Supplier: l.Supplier, Accepted: l.Accepted})
	}
	return past, nil
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
