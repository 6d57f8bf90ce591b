// Command load measures a server under load. It builds the program, fills a store with beds and
// their logs, serves it from this computer, and asks it as an office would: so many requests a
// second at their fixed times, whatever the answers take; then people who type. What it prints
// is a table for BENCHMARKS.md. It ends by itself.
//
//	go run ./tools/load                                  1,000 beds, 200,000 visits, SQLite
//	go run ./tools/load -database postgres
//	go run ./tools/load -beds 10000 -visits 2000000 -rate 0 -typing 0
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"raftwright/tools/postgres"
)

func main() {
	var o options
	flag.StringVar(&o.database, "database", "sqlite", "sqlite or postgres")
	flag.IntVar(&o.beds, "beds", 1_000, "beds in the store")
	flag.IntVar(&o.visits, "visits", 200_000, "visits in the store")
	flag.IntVar(&o.rate, "rate", 200, "requests a second; 0: none")
	flag.IntVar(&o.typing, "typing", 20, "people who type; 0: none")
	flag.DurationVar(&o.lasts, "lasts", time.Minute, "how long each load lasts, at most five minutes")
	flag.Parse()
	if err := o.run(); err != nil {
		fmt.Fprintln(os.Stderr, "load:", err)
		os.Exit(1)
	}
}

type options struct {
	database     string
	beds, visits int
	rate, typing int
	lasts        time.Duration
}

// run does one measurement from an empty store to its table.
func (o options) run() (err error) {
	o.lasts = min(o.lasts, 5*time.Minute)
	dir, err := os.MkdirTemp("", "raftwright-load-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	program := filepath.Join(dir, "raftwright")
	if out, err := exec.Command("go", "build", "-trimpath", "-o", program, "./cmd/raftwright").CombinedOutput(); err != nil {
		return fmt.Errorf("build: %w: %s", err, out)
	}
	where := []string{"--data", filepath.Join(dir, "kept")}
	at := ""
	if o.database == "postgres" {
		address, stop, err := postgres.Start("shared_buffers=256MB")
		if err != nil {
			return err
		}
		defer stop()
		at, where = address, []string{"--database", address}
	}
	fmt.Printf("%s, %d beds, %d visits, %d processors, load average %s\n", o.database, o.beds, o.visits, runtime.NumCPU(), average())
	keys, err := accounts(program, where)
	if err != nil {
		return err
	}
	begun := time.Now()
	text, err := briefOf("examples/demo.yaml")
	if err != nil {
		return err
	}
	db, err := open(at, filepath.Join(dir, "kept", "raftwright.db"))
	if err != nil {
		return err
	}
	defer db.Close()
	if err := fill(db, text, o.beds, o.visits); err != nil {
		return err
	}
	fmt.Printf("filled in %.0f s\n", time.Since(begun).Seconds())
	s, err := serve(program, where)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.end()) }()
	fmt.Printf("starts in %d ms, %.0f MB\n", s.started.Milliseconds(), s.memory("VmRSS"))
	office := crowd{at: s.at, keys: keys, beds: o.beds, client: &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 256, DisableCompression: false}, Timeout: 30 * time.Second}}
	if o.typing > 0 {
		office.typing(s, o.typing, o.lasts/2)
	}
	if err := office.know(db); err != nil {
		return err
	}
	fmt.Println("| one after the other | median ms | longest | work of processors ms |\n|---|---|---|---|")
	for _, m := range mix {
		office.once(s, m.kind, m.method, m.path, m.body)
	}
	office.once(s, "the advice (API)", "GET", func(bed string) string { return "/api/beds/" + bed + "/advice" }, nil)
	if o.rate > 0 {
		office.mixed(s, o.rate, o.lasts)
		fmt.Printf("memory %.0f MB, at most %.0f\n", s.memory("VmRSS"), s.memory("VmHWM"))
	}
	fmt.Printf("load average %s\n", average())
	return nil
}

// people is how many share the asking: each key has a bound of its own.
const people = 40

// accounts makes the people and their keys by the commands.
func accounts(program string, where []string) (keys []string, err error) {
	do := func(in string, args ...string) (string, error) {
		c := exec.Command(program, append(args, where...)...)
		c.Stdin = strings.NewReader(in)
		out, err := c.Output()
		return strings.TrimSpace(string(out)), err
	}
	for i := range people {
		name := "Invented " + strconv.Itoa(i)
		if _, err := do("four words make one\n", "account", "add", name); err != nil {
			return nil, err
		}
		key, err := do("", "key", "add", name)
		if err != nil {
			return nil, err
		}
		keys = append(keys, key)
	}
	return keys, nil
}

// server is the program that serves.
type server struct {
	run     *exec.Cmd
	at      string
	started time.Duration // until it answered
}

var listening = regexp.MustCompile(`listening on (\S+)`)

func serve(program string, where []string) (*server, error) {
	s := &server{run: exec.Command(program, append([]string{"serve", "--listen", "127.0.0.1:0"}, where...)...)}
	told, err := s.run.StderrPipe()
	if err != nil {
		return nil, err
	}
	begun := time.Now()
	if err := s.run.Start(); err != nil {
		return nil, err
	}
	var said []byte
	for some := make([]byte, 4096); s.at == ""; {
		n, err := told.Read(some)
		said = append(said, some[:n]...)
		if m := listening.FindSubmatch(said); m != nil {
			s.at = string(m[1])
		} else if err != nil {
			return nil, fmt.Errorf("it does not serve: %w: %s", err, said)
		}
	}
	go io.Copy(io.Discard, told)
	resp, err := http.Get(s.at + "/api/health")
	if err != nil {
		return nil, errors.Join(err, s.end())
	}
	resp.Body.Close()
	s.started = time.Since(begun)
	return s, nil
}

func (s *server) end() error {
	s.run.Process.Signal(syscall.SIGTERM)
	return s.run.Wait()
}

// memory gives a line of what the system says of the program, in MB.
func (s *server) memory(line string) float64 {
	text, _ := os.ReadFile("/proc/" + strconv.Itoa(s.run.Process.Pid) + "/status")
	for l := range strings.Lines(string(text)) {
		if rest, is := strings.CutPrefix(l, line+":"); is {
			kb, _ := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 64)
			return kb / 1024
		}
	}
	return 0
}

// cpu is how long processors worked for the program so far. The system counts it in hundredths of a second.
func (s *server) cpu() time.Duration {
	text, _ := os.ReadFile("/proc/" + strconv.Itoa(s.run.Process.Pid) + "/stat")
	_, after, _ := strings.Cut(string(text), ") ")
	fields := strings.Fields(after)
	if len(fields) < 13 {
		return 0
	}
	user, _ := strconv.Atoi(fields[11])
	system, _ := strconv.Atoi(fields[12])
	return time.Duration(user+system) * 10 * time.Millisecond
}

// average is how busy the machine is.
func average() string {
	text, _ := os.ReadFile("/proc/loadavg")
	first, _, _ := strings.Cut(string(text), " ")
	return first
}

// background is for what nobody breaks off.
var background = context.Background()
