package measure

import (
	"errors"
	"io"
	"path/filepath"

	"neckfit/measure/csvtext"
)

// Batch is the tables of a batch. The small ones are in memory, the readings are read by Kits.
type Batch struct {
	Gauges map[string]*Gauge // by id, the built-in ones among them
	Limits []Limit           // in the order of limits.csv; nil without one
	Infos  map[string]Info   // by kit; nil without a kits.csv
	Stock  []Stock           // in the order of stock.csv; nil without one
	Costs  []Cost            // likewise of costs.csv

	Dialect csvtext.Dialect // of the readings, once Kits has read them

	Specs map[int]StringSpec // the strings that strings.csv describes instead of giving their compensation

	compensation Strings
	stringPlaces map[int]Place
	notices      []Notice
	readings     source
	planned      bool               // see Options
	errs         *csvtext.Collector // of the small tables
}

// Open opens a batch and reads all its tables but the readings. Path is a folder that holds
// readings.csv, or a readings file of any name, or a workbook (.xlsx) whose sheets are the tables, or "-"
// for readings or a workbook from Options.Stdin. The other tables, gauges.csv, limits.csv, kits.csv, strings.csv,
// stock.csv and costs.csv, may be missing; they are taken from Options.Tables, and without that from the folder, and for a readings file from
// the folder in which it lies, or from the other sheets. With "-" there are none then.
//
// Standard input, or a pipe, is copied to a temporary file while it is read, for it may have to be
// read again; Close removes that file.
//
// The error is for what is missing or cannot be read, and wraps that of package os. Cells that are
// wrong, in these tables too, come out of Kits.
func Open(path string, o Options) (*Batch, error) {
	b := &Batch{errs: &csvtext.Collector{}, planned: o.Planned}
	gauges := builtInGaugeSet()
	b.Gauges = gauges
	own, err := b.openWorkbook(path, &o)
	dir := ""
	if err == nil && own == nil {
		dir, err = b.openReadings(path, o)
	}
	if err != nil {
		return nil, err
	}
	if o.Sheets != nil {
		for _, table := range Tables()[1:] {
			b.mistaken(o.Tables, table, o.Sheets[table])
		}
		err = b.sideTables(gauges, o, func(name string, read readTable) error { return sheets(o.Sheets).read(o.Tables, name, read) })
	} else if dir, err = o.tablesOr(dir); err == nil && dir != "" {
		err = b.sideTables(gauges, o, func(name string, read readTable) error { return o.readIfThere(filepath.Join(dir, name), read) })
	} else if err == nil {
		err = b.sideTables(gauges, o, func(name string, read readTable) error { return own.read(path, name, read) })
	}
	if err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}

// readTable reads one of the small tables.
type readTable = func(file string, in io.Reader) error

// sideTables reads the tables beside the readings, as far as they are there.
func (b *Batch) sideTables(gauges gaugeSet, o Options, readIfThere func(name string, read readTable) error) error {
	for _, t := range []struct {
		name string
		read readTable
	}{
		{gaugesTable.Name, func(file string, in io.Reader) error { return gauges.read(file, in, b.errs) }},
		{limitsTable.Name, func(file string, in io.Reader) (err error) {
			b.Limits, err = readLimits(file, in, b.errs, o.Characteristics)
			return err
		}},
		{kitsTable.Name, func(file string, in io.Reader) (err error) {
			b.Infos, err = readKits(file, in, b.errs, o.Characteristics)
			return err
		}},
		{stringsTable.Name, func(file string, in io.Reader) (err error) {
			var set stringSet
			set, err = readStrings(file, in, b.errs)
			b.compensation, b.Specs, b.stringPlaces = set.compensation, set.specs, set.places
			return err
		}},
		{stockTable.Name, func(file string, in io.Reader) (err error) {
			b.Stock, err = readStock(file, in, b.errs)
			return err
		}},
		{costsTable.Name, func(file string, in io.Reader) (err error) {
			b.Costs, err = readCosts(file, in, b.errs)
			return err
		}},
	} {
		if err := readIfThere(t.name, t.read); err != nil {
			return err
		}
	}
	return nil
}

// Compensation is what strings.csv gives outright, or nil without one.
func (b *Batch) Compensation() Strings { return b.compensation }

// Close removes the temporary copy of standard input, if there is one.
func (b *Batch) Close() error { return b.readings.close() }
