//go:build unix

package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

var kills = flag.Int("kills", 60, "how often neckfit bench is killed while it writes")

// running is a neckfit bench.
type running struct {
	*exec.Cmd
	address string // with the token
	stderr  *strings.Builder
}

// startBench starts neckfit bench in a process of its own.
func startBench(t *testing.T, dir string, args ...string) *running {
	t.Helper()
	p := &running{Cmd: exec.Command("neckfit", append([]string{"bench", dir}, args...)...), stderr: &strings.Builder{}}
	p.Stderr = p.stderr
	out, err := p.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.Process.Kill() })
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		_ = p.Wait()
		t.Fatalf("no address: %v\n%s", err, p.stderr)
	}
	p.address = strings.TrimSpace(line)
	return p
}

// benchState is what a test looks at.
type benchState struct {
	Kit struct {
		Rows []struct {
			Row   int
			Was   string
			Cells []struct{ Column, Text string }
		}
	}
}

// post asks as the page does.
func (p *running) post(path string, body map[string]any) (benchState, error) {
	var reply struct {
		Fault string
		State benchState
	}
	text, err := json.Marshal(body)
	if err != nil {
		return reply.State, err
	}
	r, err := http.NewRequest("POST", p.address+path, strings.NewReader(string(text)))
	if err != nil {
		return reply.State, err
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Origin", strings.Join(strings.SplitN(p.address, "/", 4)[:3], "/"))
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return reply.State, err
	}
	defer answer.Body.Close()
	said, err := io.ReadAll(answer.Body)
	if err != nil {
		return reply.State, err
	}
	if err := json.Unmarshal(said, &reply); err != nil {
		return reply.State, fmt.Errorf("%s: %w", said, err)
	}
	if reply.Fault != "" {
		return reply.State, errors.New(reply.Fault)
	}
	return reply.State, nil
}

// Killed at any moment, nothing that was acknowledged is lost, the file is whole and is read by check.
func TestBenchKilledWhileItWrites(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "batch")
	file := filepath.Join(dir, "readings.csv")
	rng := rand.New(rand.NewPCG(5, 5))
	acknowledged := map[string]string{} // a kit's first station
	for n := range *kills {
		p := startBench(t, dir)
		kit := fmt.Sprint("K", n)
		state, err := p.post("kit", map[string]any{"Kit": kit, "Way": "quick", "Strings": 4, "Frets": 20, "NeckScrews": 4, "BridgeScrews": 5})
		begun := time.Now()
		for i, last := 0, rng.IntN(4); err == nil; i++ {
			if i == last { // at some moment of about the time that an entry takes
				took := time.Since(begun) / time.Duration(max(1, i))
				time.AfterFunc(time.Duration(rng.Int64N(int64(2*took)+1)), func() { _ = p.Process.Signal(syscall.SIGKILL) })
			}
			row := state.Kit.Rows[0]
			number := fmt.Sprint(10 + i)
			if state, err = p.post("entry", map[string]any{"Kit": kit, "Row": row.Row, "Was": row.Was, "Column": "station", "Text": number}); err == nil {
				acknowledged[kit] = number
			}
		}
		_ = p.Process.Kill()
		_ = p.Wait()
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(string(text), "\n") || !strings.Contains(string(text), "kit,datum,") {
			t.Fatalf("after kill %d the file is not whole:\n%s", n, text)
		}
		for kit, number := range acknowledged {
			// The entry after the last that was acknowledged may be written, too.
			var least, got int
			if _, err := fmt.Sscan(number, &least); err != nil {
				t.Fatal(err)
			}
			_, after, found := strings.Cut(string(text), "\n# half read: "+kit+",edge-bass,heel,,,width,")
			if _, err := fmt.Sscanf(after, "%d,", &got); !found || err != nil || got < least || got > least+1 {
				t.Fatalf("after kill %d kit %s has %d, acknowledged were %s", n, kit, got, number)
			}
		}
	}
	p := startBench(t, dir)
	if left, err := filepath.Glob(filepath.Join(dir, ".neckfit-*")); err != nil || len(left) > 0 {
		t.Errorf("left: %v %v", left, err)
	}
	if err := p.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := p.Wait(); err != nil {
		t.Errorf("%v\n%s", err, p.stderr)
	}
	if len(acknowledged) == 0 {
		t.Error("nothing was ever acknowledged")
	}
}

// One process holds a folder; another says so and leaves it alone. An interrupt ends the first at once,
// also while somebody is connected who never says what they want.
func TestBenchHoldsItsFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "batch")
	first := startBench(t, dir)
	second := exec.Command("neckfit", "bench", dir)
	said, err := second.CombinedOutput()
	if second.ProcessState.ExitCode() != noAccess || !strings.Contains(string(said), "another neckfit bench is at work in "+dir) {
		t.Errorf("%v %s", err, said)
	}
	host := strings.Split(first.address, "/")[2]
	slow, err := net.Dial("tcp", host)
	if err != nil {
		t.Fatal(err)
	}
	defer slow.Close()
	if _, err := io.WriteString(slow, "POST / HTTP/1.1\r\nHost: "+host+"\r\nContent-Length: 5\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	if err := first.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	begun := time.Now()
	if err := first.Wait(); err != nil || time.Since(begun) > 2*time.Second {
		t.Errorf("%v after %v\n%s", err, time.Since(begun), first.stderr)
	}
	third := startBench(t, dir)
	if third.address == first.address || !strings.HasPrefix(third.address, "http://127.0.0.1:") || len(third.address) < len("http://127.0.0.1:1/")+26 {
		t.Errorf("%s after %s", third.address, first.address)
	}
}

func TestBenchMisuse(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	good, foreign, file := t.TempDir(), t.TempDir(), filepath.Join(t.TempDir(), "file")
	writeFile(t, filepath.Join(foreign, "readings.csv"), "no,such,columns\n")
	writeFile(t, file, "")
	for _, c := range []struct {
		code int
		says string
		args []string
	}{
		{wrongUse, "bench needs the PATH", nil},
		{wrongUse, "expected an address and a port", []string{good, "--listen", "8080"}},
		{wrongUse, "--listen is blank", []string{good, "--listen", ""}},
		{noAccess, "cannot listen", []string{good, "--listen", taken.Addr().String()}},
		{wrongUse, "no header with a column kit", []string{foreign}},
		{wrongUse, "no header with a column kit", []string{file}},
	} {
		var out, talk strings.Builder
		if code := run(append([]string{"bench"}, c.args...), strings.NewReader(""), &out, &talk); code != c.code || !strings.Contains(talk.String(), c.says) || out.Len() > 0 {
			t.Errorf("%q: code %d, want %d: %s", c.args, code, c.code, talk.String())
		}
	}
}

func TestNamesOfThePage(t *testing.T) {
	at := func(ip string, port int) *net.TCPAddr { return &net.TCPAddr{IP: net.ParseIP(ip), Port: port} }
	for _, c := range []struct {
		host string
		at   *net.TCPAddr
		want []string
	}{
		{"127.0.0.1", at("127.0.0.1", 81), []string{"127.0.0.1:81", "localhost:81"}},
		{"localhost", at("127.0.0.1", 81), []string{"localhost:81"}},
		{"::1", at("::1", 81), []string{"[::1]:81", "localhost:81"}},
		{"192.0.2.7", at("192.0.2.7", 80), []string{"192.0.2.7:80", "192.0.2.7"}},
		{"bench.example", at("192.0.2.7", 81), []string{"bench.example:81"}},
	} {
		if got := pageNames(c.host, c.at); !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.host, got, c.want)
		}
	}
	all := pageNames("", at("0.0.0.0", 81))
	if !slices.Contains(all, "localhost:81") || !slices.Contains(all, "127.0.0.1:81") || slices.Contains(all, ":81") || slices.Contains(all, "0.0.0.0:81") {
		t.Errorf("%q", all)
	}
}
