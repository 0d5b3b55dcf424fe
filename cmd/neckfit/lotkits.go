package main

import (
	"context"
	"errors"

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

// eachKit hands on every kit of a batch, whole. When kits lie scattered in it, begin is called a
// second time, and all kits are handed on anew.
func (p *program) eachKit(ctx context.Context, batch *measure.Batch, begin func(), fn func(*measure.Kit) error) error {
	show := newProgress(p.stderr)
	defer show.done()
	pass := func() error {
		begin()
		return batch.Each(func(kit *measure.Kit) error {
			if err := ctx.Err(); err != nil {
				return err
			}
			show.kit()
			return fn(kit)
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
	err = p.eachKit(ctx, batch, func() { kits = nil }, func(k *measure.Kit) error {
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
