package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"neckfit/fit"
	"neckfit/measure"
	"neckfit/measure/workbook"
	"neckfit/report/bench"
)

// benchOptions are bench's flag and its argument.
type benchOptions struct{ path, listen string }

func (o *benchOptions) command(p *program) *cobra.Command {
	c := &cobra.Command{
		Use:   "bench PATH",
		Short: "Type readings in on a page, and see at once what they say",
		Long: `Bench shows a page for the browser on this computer: the place to touch, one number after
another, what the reader has to say to it, and what the readings tell so far. Below stand the
remedies side by side, and sliders to try shims and moves of one's own, of which nothing is written.

A folder that is not there yet is made as start makes it. PATH may be a workbook (.xlsx), or a
folder with one in it and no readings.csv: then its sheets are the tables.

The tables are the truth. Readings.csv, or the workbook, is written whole after every number, and
what a spreadsheet changed meanwhile is shown and never overwritten; close it there before you type
here. Rows of which only some numbers were read stand in it as comments until they are whole.

The address, with a secret in it that changes every time, is written to standard output. Only this
computer can reach it, unless --listen names another address: then whoever has the whole address
may type, for example on a phone at the bench. Nothing is fetched from anywhere else.

Ctrl-C ends it. Exit codes: 0 ended, 2 wrong use or bad input, 3 cannot read, write or listen.`,
		Example: `  neckfit bench delivery
  neckfit bench delivery.xlsx
  neckfit bench delivery --listen 127.0.0.1:0`,
		Args: oneArgument("the PATH of a batch"),
		RunE: func(c *cobra.Command, args []string) error {
			o.path = args[0]
			return o.run(p)
		},
	}
	c.Flags().StringVar(&o.listen, "listen", "127.0.0.1:0", "`address` and port to answer at; port 0 for any that is free")
	return c
}

// How long a client may take, and how many may be connected. A page's requests are small and come one
// at a time.
const (
	headPatience = 5 * time.Second
	bodyPatience = 10 * time.Second
	idlePatience = time.Minute
	farewell     = 150 * time.Millisecond // for answers that are on their way when the end comes
	largestHead  = 16 << 10
	mostClients  = 64
)

func (o *benchOptions) run(p *program) (err error) {
	if err := o.folder(p); err != nil {
		return err
	}
	dir := o.path
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		dir = filepath.Dir(dir)
	}
	release, err := lockFolder(dir)
	if err != nil {
		return fmt.Errorf("another neckfit bench is at work in %s: %w", dir, err)
	}
	defer func() { err = errors.Join(err, release()) }()
	if err := bench.Tidy(dir); err != nil {
		return err
	}
	folder, err := bench.OpenFolder(o.path, func(b *measure.Batch) fit.Options { return checkOf(b, "guarded") })
	if err != nil {
		return misuse{err}
	}
	host, _, err := net.SplitHostPort(o.listen)
	if err != nil {
		return misusef("--listen %s: expected an address and a port, as 127.0.0.1:8080", o.listen)
	}
	plain, err := net.Listen("tcp", o.listen)
	if err != nil {
		return fmt.Errorf("cannot listen: %w", err)
	}
	token := rand.Text()
	names := pageNames(host, plain.Addr().(*net.TCPAddr))
	server := &http.Server{
		Handler:           bench.Handler(folder, token, func(name string) bool { return slices.Contains(names, name) }),
		ReadHeaderTimeout: headPatience, ReadTimeout: bodyPatience, WriteTimeout: bodyPatience, IdleTimeout: idlePatience,
		MaxHeaderBytes: largestHead, ErrorLog: slog.NewLogLogger(slog.DiscardHandler, slog.LevelError),
	}
	for _, name := range names {
		if _, err := fmt.Fprintf(p.stdout, "http://%s/%s/\n", name, token); err != nil {
			return errors.Join(err, plain.Close())
		}
		if host != "" && !net.ParseIP(host).IsUnspecified() {
			break // one name is enough to open it by
		}
	}
	p.say("open that address in a browser; readings go into %s. Ctrl-C ends.", folder.File())
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(&fewClients{plain, make(chan struct{}, mostClients)}) }()
	select {
	case err := <-ended:
		return err
	case <-p.ctx.Done():
	}
	soon, cancel := context.WithTimeout(context.Background(), farewell)
	defer cancel()
	if err := server.Shutdown(soon); err != nil {
		return server.Close()
	}
	return nil
}

// folder makes the folder or its readings.csv, if they are not there.
func (o *benchOptions) folder(p *program) error {
	info, err := os.Stat(o.path)
	start, tables := startOptions{dir: o.path}, measure.Tables()
	switch {
	case workbook.Is(o.path) && errors.Is(err, fs.ErrNotExist):
		return start.run(p)
	case err == nil && !info.IsDir(), bench.Workbook(o.path) != "":
		return nil
	}
	there := slices.ContainsFunc(tables, func(name string) bool {
		_, err := os.Stat(filepath.Join(o.path, name))
		return err == nil
	})
	if !there {
		return start.run(p)
	}
	file := filepath.Join(o.path, tables[0])
	if _, err := os.Stat(file); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	texts, err := start.tables()
	if err != nil {
		return err
	}
	return os.WriteFile(file, texts[tables[0]], 0o666)
}

// pageNames are the hosts by which a browser may ask for the page.
func pageNames(host string, at *net.TCPAddr) (names []string) {
	add := func(host string) {
		names = append(names, net.JoinHostPort(host, fmt.Sprint(at.Port)))
		if at.Port == 80 { // browsers leave it out
			names = append(names, host)
		}
	}
	if !at.IP.IsUnspecified() {
		add(host)
		if at.IP.IsLoopback() && host != "localhost" {
			add("localhost")
		}
		return names
	}
	addresses, err := net.InterfaceAddrs()
	if err != nil {
		addresses = nil // then only this computer finds it
	}
	for _, a := range addresses {
		if n, ok := a.(*net.IPNet); ok && !n.IP.IsLinkLocalUnicast() {
			add(n.IP.String())
		}
	}
	add("localhost")
	return names
}

// fewClients is a listener that lets only so many clients be connected at a time; others wait.
type fewClients struct {
	net.Listener
	room chan struct{}
}

// Accept waits until there is room for one more.
func (l *fewClients) Accept() (net.Conn, error) {
	l.room <- struct{}{}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.room
		return nil, err
	}
	return &client{Conn: c, room: l.room}, nil
}

type client struct {
	net.Conn
	room chan struct{}
	once sync.Once
}

// Close makes room for another, once.
func (c *client) Close() error {
	c.once.Do(func() { <-c.room })
	return c.Conn.Close()
}
