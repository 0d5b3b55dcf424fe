package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/measure"
)

func (p *program) startCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "start DIR",
		Short: "Make a batch folder to fill in",
		Long: `Start makes a folder with the tables of a batch: readings.csv, gauges.csv, limits.csv, kits.csv
and strings.csv. Lines that begin with # explain them and are not read. Limits.csv lists the
built-in limits in such lines, so that they stay in force until one is made a row.

Nothing is overwritten: the folder may be there, but none of these tables.`,
		Example: "  neckfit start delivery",
		Args:    oneArgument("the DIR to make"),
		RunE:    func(_ *cobra.Command, args []string) error { return p.start(args[0]) },
	}
}

// start writes all the tables or none.
func (p *program) start(dir string) error {
	tables, err := blankTables()
	if err != nil {
		return err
	}
	for _, name := range measure.Tables() {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			return misusef("%s is there already; start overwrites nothing", filepath.Join(dir, name))
		}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	var written []string
	for _, name := range measure.Tables() {
		file := filepath.Join(dir, name)
		if err := writeNew(file, tables[name]); err != nil {
			return errors.Join(err, removeAll(written))
		}
		written = append(written, file)
	}
	p.say("%s is ready. Fill in readings.csv; neckfit sheet gives the rows of a kit, neckfit check %s judges them.", dir, dir)
	return nil
}

// writeNew writes a file that must not be there yet.
func writeNew(file string, text []byte) error {
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(file))
	}
	return nil
}

func removeAll(files []string) error {
	var errs []error
	for _, f := range files {
		errs = append(errs, os.Remove(f))
	}
	return errors.Join(errs...)
}

// blankTables makes the text of each table.
func blankTables() (map[string][]byte, error) {
	texts := map[string][]byte{}
	for name, write := range map[string]func(io.Writer) error{
		"readings.csv": func(w io.Writer) error { return measure.WriteHeader(w, "readings.csv") },
		"gauges.csv":   func(w io.Writer) error { return measure.WriteGauges(w, measure.BuiltInGauges()) },
		"limits.csv":   writeLimitComments,
		"kits.csv":     func(w io.Writer) error { return measure.WriteHeader(w, "kits.csv") },
		"strings.csv":  func(w io.Writer) error { return measure.WriteHeader(w, "strings.csv") },
		"stock.csv":    func(w io.Writer) error { return measure.WriteStock(w, measure.BuiltInStock()) },
		"costs.csv":    func(w io.Writer) error { return measure.WriteCosts(w, measure.BuiltInCosts()) },
	} {
		var text bytes.Buffer
		text.WriteString(tableComments[name])
		if err := write(&text); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		texts[name] = text.Bytes()
	}
	return texts, nil
}

// writeLimitComments writes the built-in limits as rows that are commented out.
func writeLimitComments(w io.Writer) error {
	known := fit.Characteristics()
	var table bytes.Buffer
	if err := measure.WriteLimits(&table, fit.BuiltInLimits(), known); err != nil {
		return err
	}
	header, rows, _ := strings.Cut(table.String(), "\n")
	text := header + "\n"
	for _, row := range strings.Split(strings.TrimSuffix(rows, "\n"), "\n") {
		if row != "" {
			text += "# " + row + "\n"
		}
	}
	_, err := io.WriteString(w, text)
	return err
}
