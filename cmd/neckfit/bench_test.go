//go:build unix

package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
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
	p.ends(t)
	if len(acknowledged) == 0 {
		t.Error("nothing was ever acknowledged")
	}
}

// One process holds a folder; another says so and leaves it alone.
func TestBenchHoldsItsFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "batch")
	first := startBench(t, dir)
	second := exec.Command("neckfit", "bench", dir)
	said, err := second.CombinedOutput()
	if second.ProcessState.ExitCode() != noAccess || !strings.Contains(string(said), "another neckfit bench is at work in "+dir) {
		t.Errorf("%v %s", err, said)
	}
	first.ends(t)
	third := startBench(t, dir)
	if third.address == first.address || !strings.HasPrefix(third.address, "http://127.0.0.1:") || len(third.address) < len("http://127.0.0.1:1/")+26 {
		t.Errorf("%s after %s", third.address, first.address)
	}
}

// Clients that drip a head or a body, or never say anything, are cut off after their time; as many as may be
// connected keep others waiting no longer than that. A body of a gigabyte is refused, and what the process
// holds does not grow by it.
func TestBenchSlowClients(t *testing.T) {
	t.Parallel()
	p := startBench(t, filepath.Join(t.TempDir(), "batch"))
	host := strings.Split(p.address, "/")[2]
	dial := func(said string) net.Conn {
		c, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = c.Close() })
		if _, err := io.WriteString(c, said); err != nil {
			t.Fatal(err)
		}
		return c
	}
	begun := time.Now()
	// lasts drips a byte at a time until the other end hangs up.
	lasts := func(c net.Conn) time.Duration {
		go func() {
			for {
				if _, err := io.WriteString(c, "x"); err != nil {
					return
				}
				time.Sleep(100 * time.Millisecond)
			}
		}()
		_, _ = io.Copy(io.Discard, c) // until then
		return time.Since(begun)
	}
	var group sync.WaitGroup
	slack := 3 * time.Second // the machine may be busy
	for what, c := range map[string]struct {
		said   string
		within time.Duration
	}{
		"head": {"GET / HTTP/1.1\r\nHost: " + host + "\r\nX: ", headPatience},
		"body": {"POST /" + strings.Split(p.address, "/")[3] + "/entry HTTP/1.1\r\nHost: " + host + "\r\nOrigin: http://" + host + "\r\nContent-Type: application/json\r\nContent-Length: 5000\r\n\r\n{\"Kit\":\"", bodyPatience},
	} {
		group.Go(func() {
			if took := lasts(dial(c.said)); took > c.within+slack || took < c.within/2 {
				t.Errorf("%s: hung up after %v, want %v", what, took, c.within)
			}
		})
	}
	huge := dial("POST /" + strings.Split(p.address, "/")[3] + "/entry HTTP/1.1\r\nHost: " + host + "\r\nOrigin: http://" + host + "\r\nContent-Type: application/json\r\nContent-Length: 1073741824\r\n\r\n{\"Kit\":\"")
	sent, chunk := 0, []byte(strings.Repeat("x", 1<<20))
	for range 1024 {
		n, err := huge.Write(chunk)
		if sent += n; err != nil {
			break
		}
	}
	if sent > 64<<20 || p.peak(t) > 200<<20 {
		t.Errorf("%d MB of a body without end were taken, %d MiB held", sent>>20, p.peak(t)>>20)
	}
	for range mostClients { // with those above more than may be connected
		dial("")
	}
	client := &http.Client{Timeout: headPatience + slack}
	answer, err := client.Get(p.address)
	if err != nil {
		t.Fatal(err)
	}
	_ = answer.Body.Close()
	if waited := time.Since(begun); answer.StatusCode != http.StatusOK || waited < time.Second {
		t.Errorf("code %d after %v: nobody was kept waiting", answer.StatusCode, waited)
	}
	group.Wait()
	p.ends(t)
}

// peak is the most that the process held, in bytes; 0 where the system does not tell.
func (p *running) peak(t *testing.T) (bytes int64) {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.Process.Pid))
	if errors.Is(err, fs.ErrNotExist) {
		return 0
	}
	_, after, _ := strings.Cut(string(text), "VmHWM:")
	if _, scanned := fmt.Sscan(after, &bytes); err != nil || scanned != nil {
		t.Fatal(err, scanned)
	}
	return bytes << 10
}

// ends interrupts the process and fails unless it ends well.
func (p *running) ends(t *testing.T) time.Duration {
	t.Helper()
	begun := time.Now()
	if err := p.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := p.Wait(); err != nil {
		t.Errorf("%v\n%s", err, p.stderr)
	}
	return time.Since(begun)
}

// An interrupt ends it within 0.3 s, whoever is connected and has not said what they want. The machine may be
// busy: the best of three counts.
func TestBenchEndsAtOnce(t *testing.T) {
	least := time.Hour
	for range 3 {
		p := startBench(t, filepath.Join(t.TempDir(), "batch"))
		host := strings.Split(p.address, "/")[2]
		for _, said := range []string{"", "GET /", "POST / HTTP/1.1\r\nHost: " + host + "\r\nContent-Length: 5\r\n\r\n"} {
			c, err := net.Dial("tcp", host)
			if err != nil {
				t.Fatal(err)
			}
			defer c.Close()
			if _, err := io.WriteString(c, said); err != nil {
				t.Fatal(err)
			}
		}
		if least = min(least, p.ends(t)); least < 300*time.Millisecond {
			return
		}
	}
	t.Errorf("it took %v", least)
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
