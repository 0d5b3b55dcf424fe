package measure

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Options are what a batch needs from outside.
type Options struct {
	Characteristics map[string]Dimension // the names that limits.csv may use
	Stdin           io.Reader            // what the path "-" reads
}

// Batch is the tables of a batch. The small ones are in memory, the readings are read by Each.
type Batch struct {
	Gauges map[string]*Gauge // by id, the built-in ones among them
	Limits []Limit           // in the order of limits.csv; nil without one
	Infos  map[string]Info   // by kit; nil without a kits.csv
	Stock  []Stock           // in the order of stock.csv; nil without one
	Costs  []Cost            // likewise of costs.csv

	Specs map[int]StringSpec // the strings that strings.csv describes instead of giving their compensation

	compensation Strings
	readings     source
	errs         *collector // of the small tables
	gathered     map[string]*Kit
}

// Open opens a batch and reads all its tables but the readings. Path is a folder that holds
// readings.csv, or a readings file of any name, or "-" for readings from Options.Stdin. The other
// tables, gauges.csv, limits.csv, kits.csv, strings.csv, stock.csv and costs.csv, may be missing;
// they are taken from the folder, and for a readings file from the folder in which it lies. With
// "-" there are none.
//
// Standard input, or a pipe, is copied to a temporary file while it is read, for it may have to be
// read again; Close removes that file.
//
// The error is for what is missing or cannot be read, and wraps that of package os. Cells that are
// wrong, in these tables too, come out of Each.
func Open(path string, o Options) (*Batch, error) {
	b := &Batch{errs: &collector{}}
	gauges := builtInGaugeSet()
	b.Gauges = gauges
	if path == "-" {
		if o.Stdin == nil {
			return nil, errors.New("no standard input to read")
		}
		b.readings = &spool{named: "stdin", in: o.Stdin}
		return b, nil
	}
	dir, err := b.openReadings(path)
	if err != nil {
		return nil, err
	}
	if err := b.sideTables(dir, gauges, o); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}

// openReadings finds the readings and the folder of the other tables, and tries whether the
// readings can be read at all.
func (b *Batch) openReadings(path string) (dir string, err error) {
	dir, file := path, filepath.Join(path, readingsTable.name)
	info, err := os.Stat(path)
	if err != nil {
		return "", fmt.Errorf("cannot open the batch: %w", err)
	}
	if !info.IsDir() {
		dir, file = filepath.Dir(path), path
	}
	f, err := os.Open(file)
	if errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("the folder has no %s: %w", readingsTable.name, err)
	}
	if err != nil {
		return "", fmt.Errorf("cannot read the readings: %w", err)
	}
	info, err = f.Stat()
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		b.readings = &spool{named: file, in: f, owned: f} // a pipe: it can be read once only
		return dir, nil
	}
	b.readings = diskFile(file)
	if err == nil && info.IsDir() {
		err = fmt.Errorf("%s is a folder, not a file", file)
	}
	return dir, errors.Join(err, f.Close())
}

// sideTables reads the tables beside the readings, as far as they are there.
func (b *Batch) sideTables(dir string, gauges gaugeSet, o Options) error {
	for _, t := range []struct {
		name string
		read func(file string, in io.Reader) error
	}{
		{gaugesTable.name, func(file string, in io.Reader) error { return gauges.read(file, in, b.errs) }},
		{limitsTable.name, func(file string, in io.Reader) (err error) {
			b.Limits, err = readLimits(file, in, b.errs, o.Characteristics)
			return err
		}},
		{kitsTable.name, func(file string, in io.Reader) (err error) {
			b.Infos, err = readKits(file, in, b.errs)
			return err
		}},
		{stringsTable.name, func(file string, in io.Reader) (err error) {
			var set stringSet
			set, err = readStrings(file, in, b.errs)
			b.compensation, b.Specs = set.compensation, set.specs
			return err
		}},
		{stockTable.name, func(file string, in io.Reader) (err error) {
			b.Stock, err = readStock(file, in, b.errs)
			return err
		}},
		{costsTable.name, func(file string, in io.Reader) (err error) {
			b.Costs, err = readCosts(file, in, b.errs)
			return err
		}},
	} {
		if err := readIfThere(filepath.Join(dir, t.name), t.read); err != nil {
			return err
		}
	}
	return nil
}

func readIfThere(file string, read func(string, io.Reader) error) error {
	f, err := os.Open(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("cannot read a table: %w", err)
	}
	defer f.Close()
	if err := read(file, f); err != nil {
		return fmt.Errorf("cannot read %s: %w", file, err)
	}
	return nil
}

// Compensation is what strings.csv gives outright, or nil without one.
func (b *Batch) Compensation() Strings { return b.compensation }

// Close removes the temporary copy of standard input, if there is one.
func (b *Batch) Close() error { return b.readings.close() }

// rows reads the readings once from the beginning.
func (b *Batch) rows(errs *collector, each func(*readingRow, *row) error) error {
	in, err := b.readings.open()
	if err != nil {
		return err
	}
	defer in.Close()
	return readTable(readingsTable, b.readings.name(), in, errs, each)
}

// blankKit is a kit without readings.
func (b *Batch) blankKit(name string) *Kit {
	info, ok := b.Infos[name]
	if !ok {
		info = Info{Kit: name}
	}
	return &Kit{Name: name, Info: info}
}
