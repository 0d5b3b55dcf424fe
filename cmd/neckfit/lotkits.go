package main

import (
	"context"
	"errors"
	"runtime"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/measure"
)

// open opens the batch at a path with what package fit knows.
func (p *program) open(path string) (*measure.Batch, error) {
	if path == "-" {
		if p.stdinTaken {
			return nil, misusef("standard input, -, can be read only once")
		}
		p.stdinTaken = true
	}
	return measure.Open(path, measure.Options{Characteristics: fit.Characteristics(), Stdin: p.stdin, Tables: p.tables, Pipe: p.pipe})
}

// tablesFlag is for a command that reads a batch.
func (p *program) tablesFlag(c *cobra.Command) {
	c.Flags().StringVar(&p.tables, "tables", "", "take the tables besides the readings from this `folder`, for readings from - or from elsewhere")
}

// eachKit judges every kit of a batch, whole, on all processors, and hands on the results in order.
// A kit and its readings are judge's only while it runs, as measure.Map has it. When kits lie
// scattered in the batch, begin is called a second time, and all are handed on anew.
func eachKit[T any](ctx context.Context, p *program, batch *measure.Batch, begin func(), judge func(*measure.Kit) T, fn func(T) error) error {
	show := newProgress(p.stderr)
	defer show.done()
	pass := func() error {
		begin()
		return measure.Map(ctx, batch, runtime.GOMAXPROCS(0), judge, func(result T) error {
			show.kit()
			return fn(result)
		})
	}
	err := pass()
	var scattered *measure.ScatteredError
	if !errors.As(err, &scattered) {
		return err
	}
	if err := batch.Gather(err); err != nil {
		return err
	}
	return pass()
}

// allKits reads a whole batch into memory.
func (p *program) allKits(ctx context.Context, path string) (kits []*measure.Kit, batch *measure.Batch, err error) {
	batch, err = p.open(path)
	if err != nil {
		return nil, nil, err
	}
	defer func() { err = errors.Join(err, batch.Close()) }()
	err = eachKit(ctx, p, batch, func() { kits = nil }, (*measure.Kit).Clone, func(k *measure.Kit) error {
		kits = append(kits, k)
		return nil
	})
	return kits, batch, err
}

// checkOf gives the options for judging a batch's kits by a rule.
func checkOf(batch *measure.Batch, rule string) fit.Options {
	return checkOptions{rule: rule}.fit(batch)
}

// noReadings is the complaint about a batch without any.
func noReadings() error { return (&found{}).complaint("") }
