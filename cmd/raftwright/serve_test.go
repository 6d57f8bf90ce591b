package main

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"database/sql"
	"encoding/json"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"raftwright/store"
	"raftwright/tools/postgres"
)

// server is a program that serves, in a process of its own.
type server struct {
	at, metrics string
	run         *exec.Cmd
	told        *saidSoFar
	client      *http.Client
}

// saidSoFar is what the program writes on standard error.
type saidSoFar struct {
	mutex sync.Mutex
	text  bytes.Buffer
}

func (t *saidSoFar) Write(b []byte) (int, error) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	return t.text.Write(b)
}

func (t *saidSoFar) String() string {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	return t.text.String()
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// served starts a server, which ends with the test.
func served(t *testing.T, args ...string) *server {
	t.Helper()
	s := &server{run: exec.Command("raftwright", append([]string{"serve", "--listen", "127.0.0.1:0"}, args...)...), told: &saidSoFar{}}
	s.run.Stderr = s.told
	must(t, s.run.Start())
	t.Cleanup(func() { s.run.Process.Kill(); s.run.Wait() })
	s.client = &http.Client{Transport: &http.Transport{DisableKeepAlives: true, TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}, Timeout: 30 * time.Second}
	for range 600 {
		for line := range strings.Lines(s.told.String()) {
			if at, is := strings.CutPrefix(line, "listening on "); is {
				s.at = strings.TrimSpace(at)
				return s
			}
			var m struct{ Msg, At string }
			if json.Unmarshal([]byte(line), &m) == nil && m.Msg == "metrics" {
				s.metrics = m.At
			}
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("it does not serve: %s", s.told)
	return nil
}

// ask sends a request and gives the answer whole.
func (s *server) ask(method, path, key, body string, header ...string) (*http.Response, string, error) {
	if !strings.HasPrefix(path, "http") {
		path = s.at + path
	}
	r, err := http.NewRequest(method, path, strings.NewReader(body))
	if err != nil {
		return nil, "", err
	}
	if key != "" {
		r.Header.Set("Authorization", "Bearer "+key)
	}
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	resp, err := s.client.Do(r)
	if err != nil {
		return nil, "", err
	}
	defer resp.Body.Close()
	all, err := io.ReadAll(resp.Body)
	return resp, string(all), err
}

// keyOf makes an account and a key of it by the commands.
func keyOf(t *testing.T, where ...string) string {
	t.Helper()
	var out, told bytes.Buffer
	if run(append([]string{"account", "add", "Ana Invented"}, where...), streams{strings.NewReader("four words make one\n"), &out, &told, tongue{}}) != exitDone ||
		run(append([]string{"key", "add", "Ana Invented"}, where...), streams{strings.NewReader(""), &out, &told, tongue{}}) != exitDone {
		t.Fatal(told.String())
	}
	return strings.TrimSpace(out.String())
}

const bedOne = "018f0000-0000-7000-8000-000000000001"

// withBed makes a bed of the invented demonstration.
func (s *server) withBed(t *testing.T, key string) {
	t.Helper()
	text, err := os.ReadFile("../../examples/demo.yaml")
	must(t, err)
	body, _ := json.Marshal(map[string]string{"id": bedOne, "brief": string(text)})
	if resp, got, err := s.ask("POST", "/api/beds", key, string(body)); err != nil || resp.StatusCode != 201 {
		t.Fatal(err, got)
	}
}

// A server that is told to end answers what is under way, refuses what comes after, and
// keeps each visit that it answered for, once.
func TestServeEndsWithoutLosing(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	dir := t.TempDir()
	key := keyOf(t, "--data", dir)
	s := served(t, "--data", dir)
	s.withBed(t, key)
	var wait sync.WaitGroup
	var mutex sync.Mutex
	var kept []string
	var papers atomic.Int32
	halt := make(chan struct{})
	for range 4 {
		wait.Go(func() {
			for {
				select {
				case <-halt:
					return
				default:
				}
				id := store.NewID()
				resp, body, err := s.ask("POST", "/api/beds/"+bedOne+"/log", key, `{"id": "`+id+`", "at": "2027-05-10T08:00", "ec": "1.6 mS/cm"}`)
				switch {
				case errors.Is(err, syscall.ECONNREFUSED), errors.Is(err, syscall.ECONNRESET), errors.Is(err, io.EOF): // it listens no more; what waited at the door was not let in
					return
				case err != nil || resp.StatusCode != 201 || !json.Valid([]byte(body)):
					t.Errorf("%v %s", err, body)
					return
				}
				mutex.Lock()
				kept = append(kept, id)
				mutex.Unlock()
			}
		})
	}
	for range 3 { // each is long under way when the end is told
		wait.Go(func() {
			resp, body, err := s.ask("GET", "/api/beds/"+bedOne+"/packet.pdf", key, "")
			if err != nil || resp.StatusCode != 200 || !strings.HasSuffix(strings.TrimSpace(body), "%%EOF") {
				t.Errorf("a paper that was under way: %v, %d bytes", err, len(body))
				return
			}
			papers.Add(1)
		})
	}
	time.Sleep(300 * time.Millisecond)
	must(t, s.run.Process.Signal(syscall.SIGTERM))
	if err := s.run.Wait(); err != nil {
		t.Errorf("%v: %s", err, s.told)
	}
	close(halt)
	wait.Wait()
	again, err := store.Open(t.Context(), store.InFolder(dir))
	must(t, err)
	defer again.Close()
	log, err := again.Log(t.Context(), store.Holder(), bedOne)
	must(t, err)
	there := map[string]int{}
	for _, e := range log {
		there[e.ID]++
	}
	for _, id := range kept {
		if there[id] != 1 {
			t.Errorf("the visit %s is there %d times", id, there[id])
		}
	}
	if len(kept) == 0 || papers.Load() == 0 {
		t.Errorf("%d visits and %d papers: the test tries nothing", len(kept), papers.Load())
	}
}

// Two servers on one PostgreSQL are one: what one keeps the other shows, the same visit sent to
// both is kept once, and tries are counted together.
func TestTwoServersOnOneDatabase(t *testing.T) {
	if testing.Short() {
		t.Skip("the check asks PostgreSQL")
	}
	at, stop, err := postgres.Start()
	if errors.Is(err, exec.ErrNotFound) {
		t.Skip("PostgreSQL is not installed")
	}
	must(t, err)
	defer stop()
	key := keyOf(t, "--database", at)
	two := [2]*server{served(t, "--database", at), served(t, "--database", at)}
	two[0].withBed(t, key)
	var wait sync.WaitGroup
	var made, same atomic.Int32
	for range 20 {
		id := store.NewID()
		for _, s := range two {
			wait.Go(func() {
				resp, body, err := s.ask("POST", "/api/beds/"+bedOne+"/log", key, `{"id": "`+id+`", "at": "2027-05-10T08:00", "ec": "1.6 mS/cm"}`)
				switch {
				case err == nil && resp.StatusCode == 201:
					made.Add(1)
				case err == nil && resp.StatusCode == 200:
					same.Add(1)
				default:
					t.Errorf("%v %s", err, body)
				}
			})
		}
	}
	wait.Wait()
	if made.Load() != 20 || same.Load() != 20 {
		t.Errorf("%d were kept and %d known, of 20 that were sent to both", made.Load(), same.Load())
	}
	for _, s := range two {
		var log []map[string]any
		_, body, err := s.ask("GET", "/api/beds/"+bedOne+"/log", key, "")
		if must(t, err); json.Unmarshal([]byte(body), &log) != nil || len(log) != 20 {
			t.Errorf("%d visits", len(log))
		}
	}
	codes := map[int]int{}
	for i := range 70 { // wrong keys are counted for both together
		resp, _, err := two[i%2].ask("GET", "/api/beds", "wrong", "")
		must(t, err)
		codes[resp.StatusCode]++
	}
	if codes[401] != 60 || codes[429] != 10 {
		t.Errorf("%v", codes)
	}
}

// certificate writes a certificate for this computer and its key, made for the test.
func certificate(t *testing.T) (cert, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	must(t, err)
	of := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}}
	der, err := x509.CreateCertificate(rand.Reader, of, of, &private.PublicKey, private)
	must(t, err)
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	must(t, err)
	cert, key = filepath.Join(t.TempDir(), "cert.pem"), filepath.Join(t.TempDir(), "key.pem")
	must(t, os.WriteFile(cert, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600))
	must(t, os.WriteFile(key, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret}), 0o600))
	return cert, key
}

func TestServeTLS(t *testing.T) {
	cert, key := certificate(t)
	s := served(t, "--data", t.TempDir(), "--tls-cert", cert, "--tls-key", key)
	if !strings.HasPrefix(s.at, "https://") {
		t.Fatal(s.at)
	}
	resp, _, err := s.ask("GET", "/", "", "")
	must(t, err)
	if resp.TLS == nil || resp.TLS.Version < tls.VersionTLS12 || resp.Header.Get("Strict-Transport-Security") == "" {
		t.Errorf("%v", resp.Header)
	}
	old := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true, MaxVersion: tls.VersionTLS11}}}
	if _, err := old.Get(s.at); err == nil {
		t.Error("TLS 1.1 is spoken")
	}
}

// What every answer says to a browser about itself, how the cookie of a session is set, and that
// nobody is led to another site.
func TestHeadersAndCookies(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	cert, key := certificate(t)
	s := served(t, "--data", t.TempDir(), "--tls-cert", cert, "--tls-key", key)
	s.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	asForm := []string{"Content-Type", "application/x-www-form-urlencoded"}
	first, _, err := s.ask("POST", "/first", "", url.Values{"name": {"Ana Invented"}, "password": {"four words make one"}}.Encode(), asForm...)
	must(t, err)
	if c := first.Cookies(); len(c) != 1 || c[0].Name != "__Host-session" || !c[0].Secure || !c[0].HttpOnly || c[0].SameSite != http.SameSiteLaxMode || c[0].Path != "/" || c[0].Domain != "" {
		t.Fatalf("%d %v", first.StatusCode, c)
	}
	session := []string{"Cookie", first.Cookies()[0].Name + "=" + first.Cookies()[0].Value}
	for _, page := range []string{"/", "/beds", "/people", "/account", "/api/beds", "/api/nowhere", "/nowhere"} {
		resp, body, err := s.ask("GET", page, "", "", session...)
		must(t, err)
		for name, want := range map[string]string{"Content-Security-Policy": "frame-ancestors 'none'", "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Strict-Transport-Security": "max-age=31536000",
			"Cache-Control": "private", "Content-Type": "", "Cross-Origin-Opener-Policy": "same-origin"} {
			if got := resp.Header.Get(name); got == "" || !strings.Contains(got, want) {
				t.Errorf("%s: %s is %q", page, name, got)
			}
		}
		for _, name := range []string{"Server", "X-Powered-By", "Access-Control-Allow-Origin"} {
			if got := resp.Header.Get(name); got != "" {
				t.Errorf("%s: %s is told: %q", page, name, got)
			}
		}
		if strings.HasPrefix(page, "/api/") && !strings.HasPrefix(resp.Header.Get("Content-Disposition"), "attachment") {
			t.Errorf("%s would be shown by a browser", page)
		}
		if strings.Contains(body, session[1]) {
			t.Errorf("%s holds the session", page)
		}
	}
	elsewhere := []string{"//elsewhere.example/", "https://elsewhere.example/", `/\\elsewhere.example/`, "/\t/elsewhere.example"}
	if testing.Short() {
		elsewhere = elsewhere[:1] // a password is dear to try
	}
	for _, to := range elsewhere {
		for path, form := range map[string]url.Values{"/language": {"language": {"es"}, "from": {to}}, "/sign-in": {"name": {"Ana Invented"}, "password": {"four words make one"}, "to": {to}}} {
			resp, _, err := s.ask("POST", path, "", form.Encode(), asForm...)
			must(t, err)
			if at := resp.Header.Get("Location"); resp.StatusCode != http.StatusSeeOther || at != "/" && at != "/beds" {
				t.Errorf("%s leads from %q to %q: %d", path, to, at, resp.StatusCode)
			}
		}
	}
	for _, path := range []string{"/language", "/sign-out", "/beds", "/api/beds", "/account"} {
		resp, _, err := s.ask("POST", path, "", "", append([]string{"Origin", "https://elsewhere.example", "Sec-Fetch-Site", "cross-site"}, session...)...)
		if must(t, err); resp.StatusCode != http.StatusForbidden {
			t.Errorf("another site wrote to %s: %d", path, resp.StatusCode)
		}
	}
}

// What would let others in by mistake, or write into what is somebody else's, is refused
// before anything is served.
func TestServeRefuses(t *testing.T) {
	cert, key := certificate(t)
	_, otherKey := certificate(t)
	foreign, half := t.TempDir(), t.TempDir()
	must(t, os.WriteFile(store.InFolder(foreign), []byte("these are somebody's accounts\n"), 0o600))
	kept, err := store.Open(t.Context(), store.InFolder(half))
	must(t, err)
	must(t, kept.Close())
	sqlite(t, store.InFolder(half), "DROP TABLE entry")
	before, err := os.ReadFile(store.InFolder(foreign))
	must(t, err)
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	must(t, err)
	defer taken.Close()
	for _, try := range []struct {
		args []string
		says string
	}{
		{[]string{"--listen", taken.Addr().String()}, "no other program uses"},
		{[]string{"--listen", "0.0.0.0:0"}, "--insecure"},
		{[]string{"--listen", "[::]:0"}, "--insecure"},
		{[]string{"--listen", "nowhere"}, "127.0.0.1:8080"},
		{[]string{"--tls-cert", cert}, "--tls-key"},
		{[]string{"--tls-cert", cert, "--tls-key", otherKey}, "PEM"},
		{[]string{"--tls-cert", key, "--tls-key", key}, "PEM"},
		{[]string{"--tls-cert", "none.pem", "--tls-key", key}, "no such file"},
		{[]string{"--metrics", "0.0.0.0:0"}, "127.0.0.1:9090"},
		{[]string{"--data", foreign}, "not a store of this program"},
		{[]string{"--data", half}, "restore"},
	} {
		args := append([]string{"serve"}, try.args...)
		if try.args[0] != "--data" {
			args = append(args, "--data", t.TempDir())
		}
		var out, told bytes.Buffer
		done := make(chan int, 1)
		go func() { done <- run(args, streams{strings.NewReader(""), &out, &told, tongue{}}) }()
		select {
		case code := <-done:
			if code != exitFaults || !strings.Contains(told.String(), try.says) || strings.Contains(told.String(), "code") { // the code of a first account is of no use there
				t.Errorf("%v: %d %s", try.args, code, &told)
			}
		case <-time.After(20 * time.Second):
			t.Fatalf("%v is served", try.args)
		}
	}
	if after, err := os.ReadFile(store.InFolder(foreign)); err != nil || !bytes.Equal(before, after) {
		t.Error("the file of somebody else was changed")
	}
}

func TestMetrics(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	dir := t.TempDir()
	key := keyOf(t, "--data", dir)
	s := served(t, "--data", dir, "--metrics", "127.0.0.1:0")
	s.withBed(t, key)
	for range 3 {
		s.ask("GET", "/api/beds/"+bedOne+"/packet.pdf?part=card", key, "")
	}
	s.ask("GET", "/api/beds/"+bedOne, "wrong", "")
	s.ask("GET", "/somewhere", "", "")
	resp, body, err := s.ask("GET", s.metrics, "", "")
	must(t, err)
	if resp.StatusCode != 200 || !strings.HasPrefix(resp.Header.Get("Content-Type"), "text/plain") {
		t.Fatal(resp.Status)
	}
	for _, line := range []string{
		`raftwright_requests_total{pattern="GET /api/beds/{bed}/packet.pdf",status="200"} 3`,
		`raftwright_requests_total{pattern="POST /api/beds",status="201"} 1`,
		`raftwright_request_seconds_count{pattern="POST /api/beds"} 1`,
		`raftwright_store_up 1`,
		"process_resident_memory_bytes ",
	} {
		if !strings.Contains(body, line) {
			t.Errorf("%s is not among\n%s", line, body)
		}
	}
	if !regexp.MustCompile(`(?m)^raftwright_plans_total [3-9]$`).MatchString(body) { // what a bed needs is reckoned beside them
		t.Error("the plans were not counted")
	}
	if strings.Contains(body, bedOne) || strings.Contains(body, "somewhere") {
		t.Error("what somebody asked for stands among the counts")
	}
}

// Secrets and what people write never reach the log, whatever goes wrong with them.
func TestLogTellsNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	dir := t.TempDir()
	key := keyOf(t, "--data", dir)
	s := served(t, "--data", dir)
	s.withBed(t, key)
	const planted = "SECRETSECRET"
	n := 0
	plant := func() string { n++; return fmt.Sprint(planted, n) }
	form := func(keys ...string) string {
		f := url.Values{}
		for _, k := range keys {
			f.Set(k, plant())
		}
		return f.Encode()
	}
	asForm := []string{"Content-Type", "application/x-www-form-urlencoded"}
	s.ask("GET", "/"+plant()+"?x="+plant(), plant(), "", "Cookie", "session="+plant(), "User-Agent", plant(), "Referer", "http://"+plant())
	s.ask("GET", "/beds/"+plant()+"/plan?"+form("a", "b"), plant(), "")
	s.ask("GET", "/join/"+plant(), "", "")
	s.ask("GET", "/with/"+plant(), "", "")
	s.ask("POST", "/sign-in", "", form("name", "password", "to"), asForm...)
	s.ask("POST", "/join/"+plant(), "", form("password", "again"), asForm...)
	s.ask("POST", "/beds", key, form("title", "site.place", "bed.length"), asForm...)
	s.ask("POST", "/beds/"+bedOne+"/brief", key, form("title", "water.ph"), asForm...)
	s.ask("POST", "/beds/"+bedOne+"/log", key, form("at", "note", "ec"), asForm...)
	s.ask("POST", "/api/plan", key, "title: "+plant()+"\nbed: {length: "+plant()+"}\n")
	s.ask("POST", "/api/beds", plant(), `{"id": "`+plant()+`", "brief": "`+plant()+`"}`)
	s.ask("POST", "/api/beds", key, `{"id": "`+plant()+`", "brief": {"title": "`+plant()+`"}}`)
	s.ask("POST", "/api/beds/"+bedOne+"/log", key, `{"note": "`+plant()+`", "ec": "`+plant()+`"}`)
	s.ask("GET", "/api/beds/"+bedOne+"/advice?now="+plant()+"&if="+plant(), key, "")
	// with a table gone everything is our fault
	sqlite(t, store.InFolder(dir), "PRAGMA busy_timeout=5000; DROP TABLE bed")
	s.ask("GET", "/beds", key, "", "Cookie", "session="+plant())
	s.ask("POST", "/beds/"+bedOne+"/log", key, form("note", "ec"), asForm...)
	resp, body, err := s.ask("POST", "/api/beds/"+bedOne+"/log", key, `{"note": "`+plant()+`", "ec": "1.6 mS/cm"}`)
	must(t, err)
	if resp.StatusCode < 500 || strings.Contains(body, dir) {
		t.Errorf("without a store: %d %s", resp.StatusCode, body)
	}
	must(t, s.run.Process.Signal(syscall.SIGTERM))
	s.run.Wait()
	log := s.told.String()
	if strings.Contains(log, planted) || strings.Contains(log, key) || strings.Contains(log, "Ana") {
		t.Errorf("a secret stands in the log:\n%s", log)
	}
	lines := 0
	for line := range strings.Lines(log) {
		if strings.HasPrefix(line, "{") {
			var m map[string]any
			must(t, json.Unmarshal([]byte(line), &m))
			lines++
		}
	}
	if lines == 0 || !strings.Contains(log, `"status":401`) || !strings.Contains(log, `"status":5`) {
		t.Errorf("what went wrong is not written down:\n%s", log)
	}
}

// sqlite does something to a store that the program would not.
func sqlite(t *testing.T, file, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+file)
	must(t, err)
	defer db.Close()
	_, err = db.Exec(statement)
	must(t, err)
}
