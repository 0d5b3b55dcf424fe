package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"sync"
	"sync/atomic"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/report"
)

// runStage is what a child of --measure does with a readings file.
func runStage(stage, file string) error {
	switch stage {
	case "bare":
		return bare(file)
	case "decode":
		return decode(file)
	case "csv", "jsonl":
		return all(stage, file)
	}
	return fmt.Errorf("there is no stage %q", stage)
}

// bare reads the records and does nothing with them.
func bare(file string) error {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // it was only read
	in := csv.NewReader(f)
	in.ReuseRecord = true
	for {
		if _, err := in.Read(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// decode makes kits of the readings and does nothing with them.
func decode(file string) (err error) {
	batch, err := measure.Open(file, measure.Options{Characteristics: fit.Characteristics()})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	kits := 0
	err = measure.Map(context.Background(), batch, runtime.GOMAXPROCS(0),
		func(*measure.Kit) struct{} { return struct{}{} },
		func(struct{}) error { kits++; return nil })
	if err == nil && kits == 0 {
		err = errors.New("there are no kits")
	}
	return err
}

// errEnough ends a reading.
var errEnough = errors.New("enough")

// all is all that check does but deciding: it writes results that were found before, in a format.
func all(format, file string) (err error) {
	batch, err := measure.Open(file, measure.Options{Characteristics: fit.Characteristics()})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	var results []*fit.Result
	err = batch.Each(func(k *measure.Kit) error {
		results = append(results, fit.Check(k, fit.Options{Brief: true}))
		if len(results) == distinct {
			return errEnough
		}
		return nil
	})
	if err != nil && err != errEnough {
		return err
	}
	out, err := report.NewSpool("")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	if err := writeAll(batch, format, results, out); err != nil {
		return err
	}
	return out.CopyTo(io.Discard)
}

// room is for lines on their way.
var room = sync.Pool{New: func() any { return new([]byte) }}

// writeAll decodes the batch and writes one of the results for each kit.
func writeAll(batch *measure.Batch, format string, results []*fit.Result, out io.Writer) error {
	lines, ok := report.LinesOf(format)
	if !ok || len(results) == 0 {
		return fmt.Errorf("%s has no lines, or the batch no kits", format)
	}
	var kits atomic.Int64
	var failed atomic.Pointer[error]
	judge := func(*measure.Kit) *[]byte {
		line := room.Get().(*[]byte)
		var err error
		if *line, err = lines.Append((*line)[:0], results[int(kits.Add(1))%len(results)]); err != nil {
			failed.Store(&err)
		}
		return line
	}
	err := measure.Map(context.Background(), batch, runtime.GOMAXPROCS(0), judge, func(line *[]byte) error {
		_, err := out.Write(*line)
		room.Put(line)
		return err
	})
	if f := failed.Load(); f != nil {
		err = errors.Join(err, *f)
	}
	return err
}
