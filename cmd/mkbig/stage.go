package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"

	"neckfit/fit"
	"neckfit/measure"
)

// runStage is what a child of --measure does with a readings file.
func runStage(stage, file string) error {
	switch stage {
	case "bare":
		return bare(file)
	case "decode":
		return decode(file)
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
