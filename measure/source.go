package measure

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"neckfit/measure/csvtext"
	"neckfit/measure/workbook"
)

// Options are what a batch needs from outside.
type Options struct {
	Characteristics map[string]Dimension // the names that limits.csv may use
	Stdin           io.Reader            // what the path "-" reads
	Tables          string               // the folder of the other tables, if they do not lie beside the readings
	Planned         bool                 // every row is wanted, whether it was read or not, and no number of it

	// Sheets are the other tables where they are those of a workbook that was read already; Tables is its name.
	// What is wrong with a cell of the readings' own sheet is not told again.
	Sheets map[string]*workbook.Sheet

	// Pipe opens a file that may keep its reader waiting, a named pipe or a device; os.Open if it is nil.
	Pipe func(file string) (io.ReadCloser, error)
}

// inWords is what a path's error says to who gave the path. It wraps the error.
func inWords(path string, err error) error {
	what := ""
	switch {
	case errors.As(err, new(*wordedError)):
		return err
	case errors.Is(err, fs.ErrNotExist):
		what = "there is no file or folder " + path
	case errors.Is(err, fs.ErrPermission):
		what = path + " may not be read by you"
	case errors.Is(err, syscall.ENOTDIR):
		what = "a part of " + path + " is a file, not a folder"
	case errors.Is(err, syscall.ELOOP):
		what = path + " is a link that leads back to itself"
	default:
		return err
	}
	return &wordedError{what, err}
}

// wordedError says an error in other words.
type wordedError struct {
	what  string
	cause error
}

// Error is what is said.
func (e *wordedError) Error() string { return e.what }

// Unwrap is the error itself.
func (e *wordedError) Unwrap() error { return e.cause }

// open opens a file, and tells whether it can be read once only.
func (o Options) open(file string) (in io.ReadCloser, once bool, err error) {
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return nil, false, err
	case info.IsDir():
		return nil, false, fmt.Errorf("%s is a folder, not a file", file)
	case !info.Mode().IsRegular() && o.Pipe != nil:
		in, err = o.Pipe(file)
	default:
		in, err = os.Open(file)
	}
	return in, !info.Mode().IsRegular(), err
}

// tablesOr is the folder of the other tables, which must be there when it was asked for.
func (o Options) tablesOr(dir string) (string, error) {
	if o.Tables == "" {
		return dir, nil
	}
	info, err := os.Stat(o.Tables)
	if err == nil && !info.IsDir() {
		err = fmt.Errorf("%s is a file, not a folder", o.Tables)
	}
	if err != nil {
		return "", fmt.Errorf("cannot read the tables: %w", inWords(o.Tables, err))
	}
	return o.Tables, nil
}

// openReadings finds the readings and the folder of the other tables, and tries whether the
// readings can be read at all.
func (b *Batch) openReadings(path string, o Options) (dir string, err error) {
	if path == "-" {
		if o.Stdin == nil {
			return "", errors.New("no standard input to read")
		}
		b.readings = &spool{named: "stdin", in: o.Stdin}
		if memory, ok := o.Stdin.(memoryReader); ok {
			text, err := io.ReadAll(memory)
			b.readings = textSource{"stdin", text}
			return "", err
		}
		return "", nil
	}
	dir, file := path, filepath.Join(path, readingsTable.Name)
	info, err := os.Stat(path)
	if err != nil {
		return "", fmt.Errorf("cannot open the batch: %w", inWords(path, err))
	}
	if !info.IsDir() {
		dir, file = filepath.Dir(path), path
	}
	in, once, err := o.open(file)
	if errors.Is(err, fs.ErrNotExist) {
		return "", noReadings(dir, file, err)
	}
	if err != nil {
		return "", fmt.Errorf("cannot read the readings: %w", inWords(file, err))
	}
	if once {
		b.readings = &spool{named: file, in: in, owned: in}
		return dir, nil
	}
	b.readings = &diskFile{path: file}
	return dir, in.Close()
}

// sheets are those of a workbook by the names of their tables.
type sheets map[string]*workbook.Sheet

// sheetName is how a sheet is named in messages.
func sheetName(path, table string) string {
	return path + "[" + strings.TrimSuffix(table, ".csv") + "]"
}

// memoryReader is a reader of what lies in memory, of which no copy is wanted.
type memoryReader interface {
	io.Reader
	Len() int
}

// pipedWorkbook puts a workbook that comes by standard input into a temporary file, for it cannot be read as
// a stream. Without one, or with an error, the name is blank, and what was peeked at is still to be read.
func (o *Options) pipedWorkbook() (name string, err error) {
	if _, ok := o.Stdin.(memoryReader); ok {
		return "", nil
	}
	in := bufio.NewReader(o.Stdin)
	o.Stdin = in
	if head, err := in.Peek(len(workbook.Magic)); err != nil || string(head) != workbook.Magic {
		return "", nil // an error will come again
	}
	f, err := os.CreateTemp("", "neckfit-*.xlsx")
	if err == nil {
		_, err = io.Copy(f, in)
		err = errors.Join(err, f.Close())
	}
	if err != nil {
		return "", fmt.Errorf("copy the workbook to a temporary file: %w", err)
	}
	return f.Name(), nil
}

// openWorkbook reads a workbook, and finds the readings in it. It is nil for a path of anything else.
func (b *Batch) openWorkbook(path string, o *Options) (all sheets, err error) {
	if path == "-" && o.Stdin != nil {
		piped, err := o.pipedWorkbook()
		if piped == "" {
			return nil, err
		}
		all, err = workbook.Read(piped, Tables())
		if err = errors.Join(err, os.Remove(piped)); err != nil {
			return nil, fmt.Errorf("cannot read the workbook from standard input: %w", err)
		}
		return b.useWorkbook("stdin", all), nil
	}
	was, err := os.Stat(path)
	if !workbook.Is(path) || err != nil || was.IsDir() {
		return nil, nil
	}
	all, err = workbook.Read(path, Tables())
	if err != nil {
		return nil, fmt.Errorf("cannot read the workbook: %w", inWords(path, err))
	}
	if err := same(path, was); err != nil {
		return nil, err
	}
	return b.useWorkbook(path, all), nil
}

// useWorkbook notes what is wrong with its cells, and takes its readings.
func (b *Batch) useWorkbook(path string, all sheets) sheets {
	for _, table := range Tables() {
		b.mistaken(path, table, all[table])
	}
	b.readings = textSource{sheetName(path, readingsTable.Name), all[readingsTable.Name].Text}
	return all
}

// mistaken notes the cells of a table's sheet that no text can stand for.
func (b *Batch) mistaken(path, table string, sheet *workbook.Sheet) {
	if sheet == nil {
		return
	}
	for _, m := range sheet.Mistakes {
		b.errs.Add(&CellError{Place: Place{File: sheetName(path, table), Line: m.Row}, Column: 1, Cell: csvtext.CellName(m.Column, m.Row), What: m.What, Expected: m.Expected})
	}
}

// read reads the sheet of a table, if there is one.
func (s sheets) read(path, table string, read readTable) error {
	sheet := s[table]
	if sheet == nil {
		return nil
	}
	return read(sheetName(path, table), bytes.NewReader(sheet.Text))
}

// noReadings says what a folder has instead: a link to nothing, readings under another name, batches.
func noReadings(dir, file string, cause error) error {
	if to, err := os.Readlink(file); err == nil {
		return &wordedError{fmt.Sprintf("%s is a link to %s, which is not there", file, to), cause}
	}
	var there []string
	for _, pattern := range []string{"*.csv", "*.tsv", "*.txt", "*.xls", "*.xlsx", "*.ods", "*/" + readingsTable.Name} {
		found, err := filepath.Glob(filepath.Join(dir, pattern))
		if err == nil { // else the folder's name has signs of a pattern in it
			there = append(there, found...)
		}
	}
	there = slices.DeleteFunc(there, func(f string) bool {
		return filepath.Dir(f) == filepath.Clean(dir) && slices.Contains(Tables(), filepath.Base(f))
	})
	const shown = 5
	switch n := len(there); {
	case n == 0:
		return &wordedError{"the folder has no " + readingsTable.Name + ", nor a table that could be one: is it the right folder? neckfit start makes one with its tables", cause}
	case n > shown:
		there = append(there[:shown], fmt.Sprintf("and %d more", n-shown))
	}
	return &wordedError{fmt.Sprintf("the folder has no %s, but %s: name the one that holds readings, as CSV or .xlsx", readingsTable.Name, strings.Join(there, ", ")), cause}
}

func (o Options) readIfThere(file string, read func(string, io.Reader) error) error {
	f, _, err := o.open(file)
	if errors.Is(err, fs.ErrNotExist) {
		if _, link := os.Lstat(file); link != nil {
			return nil
		}
		err = &wordedError{file + " is a link to what is not there", err}
	}
	if err != nil {
		return fmt.Errorf("cannot read a table: %w", inWords(file, err))
	}
	defer f.Close()
	was, err := os.Stat(file)
	if err == nil {
		err = read(file, f)
	}
	if err != nil {
		return fmt.Errorf("cannot read %s: %w", file, err)
	}
	if !was.Mode().IsRegular() {
		return nil
	}
	return same(file, was)
}

// source is where the readings come from; it can be read several times.
type source interface {
	name() string
	open() (io.ReadCloser, error)
	unchanged() error // since it was opened first
	close() error
}

// diskFile is a file by its path.
type diskFile struct {
	path string
	was  os.FileInfo // when it was opened first
}

func (f *diskFile) name() string { return f.path }
func (f *diskFile) close() error { return nil }

func (f *diskFile) open() (io.ReadCloser, error) {
	in, err := os.Open(f.path)
	if err != nil {
		return nil, err
	}
	if f.was == nil {
		f.was, err = in.Stat()
	}
	return in, err
}

func (f *diskFile) unchanged() error { return same(f.path, f.was) }

// same tells of a file that is no longer what it was: half of what was read may be of the one, half of the
// other.
func same(path string, was os.FileInfo) error {
	now, err := os.Stat(path)
	if err == nil && was != nil && os.SameFile(was, now) && was.Size() == now.Size() && was.ModTime().Equal(now.ModTime()) {
		return nil
	}
	return fmt.Errorf("%s was changed while it was read; nothing was made of it: run this again", path)
}

// textSource is a text in memory.
type textSource struct {
	named string
	text  []byte
}

func (s textSource) name() string                 { return s.named }
func (s textSource) open() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(s.text)), nil }
func (s textSource) unchanged() error             { return nil }
func (s textSource) close() error                 { return nil }

// spool is a stream that comes once, such as standard input. The first reading copies it to a
// temporary file as it goes; later ones read that, and then on from where the first one stopped.
type spool struct {
	named string
	in    io.Reader
	owned io.Closer // what close is to close besides; nil for what the caller opened
	copy  *os.File
}

func (s *spool) name() string     { return s.named }
func (s *spool) unchanged() error { return nil }

func (s *spool) open() (io.ReadCloser, error) {
	if s.copy != nil {
		f, err := os.Open(s.copy.Name())
		if err != nil {
			return nil, err
		}
		return struct {
			io.Reader
			io.Closer
		}{io.MultiReader(f, io.TeeReader(s.in, s.copy)), f}, nil
	}
	f, err := os.CreateTemp("", "neckfit-*.csv")
	if err != nil {
		return nil, fmt.Errorf("copy %s to a temporary file: %w", s.named, err)
	}
	s.copy = f
	return io.NopCloser(io.TeeReader(s.in, f)), nil
}

func (s *spool) close() error {
	var errs []error
	if s.owned != nil {
		errs = append(errs, s.owned.Close())
	}
	if s.copy != nil {
		errs = append(errs, s.copy.Close(), os.Remove(s.copy.Name()))
	}
	s.owned, s.copy = nil, nil
	return errors.Join(errs...)
}
