// Command serve loads the built workbench as a busy designer's pages would: 200
// requests a second for 30 seconds on the camper bench (a value being dragged,
// views, saves), then 500 steps of a drag alone. It prints how long the answers
// took, the server's own time and memory, and fails if a request did or if the
// server needs more and more memory.
//
//	go run ./bench/serve [-bin BASSWRIGHT] [-rate 200] [-for 30s]
package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

func main() {
	bin := flag.String("bin", "", "the program to load; built if it is not given")
	rate := flag.Int("rate", 200, "requests a second")
	span := flag.Duration("for", 30*time.Second, "how long")
	drags := flag.Int("drags", 500, "steps of the drag alone")
	flag.Parse()
	if err := run(*bin, *rate, *span, *drags); err != nil {
		fmt.Fprintln(os.Stderr, "bench/serve:", err)
		os.Exit(1)
	}
}

func run(bin string, rate int, span time.Duration, drags int) error {
	dir, err := os.MkdirTemp("", "serve")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	if bin == "" {
		bin = filepath.Join(dir, "basswright")
		build := exec.Command("go", "build", "-o", bin, "./cmd/basswright")
		build.Stderr = os.Stderr
		if err := build.Run(); err != nil {
			return err
		}
	}
	text, err := os.ReadFile("examples/camper-bench.yaml")
	if err != nil {
		return err
	}
	studies := filepath.Join(dir, "studies")
	if err := errors.Join(os.Mkdir(studies, 0o755), os.WriteFile(filepath.Join(studies, "bench.yaml"), text, 0o644)); err != nil {
		return err
	}
	server := exec.Command(bin, "serve", studies, "--listen", "127.0.0.1:0")
	server.Env = append(os.Environ(), "GODEBUG=gctrace=1")
	told, err := server.StderrPipe()
	if err != nil {
		return err
	}
	out, err := server.StdoutPipe()
	if err != nil {
		return err
	}
	if err := server.Start(); err != nil {
		return err
	}
	defer server.Process.Kill()
	address, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		return err
	}
	l := &load{
		base: strings.TrimSpace(address) + "api/studies/bench/", pid: server.Process.Pid, took: map[string][]float64{}, answered: map[string][]float64{},
		client: &http.Client{Timeout: 30 * time.Second, Transport: &http.Transport{MaxIdleConnsPerHost: 256}},
	}
	go l.heed(told)
	if err := l.all(rate, span, drags); err != nil {
		return err
	}
	if err := server.Process.Signal(os.Interrupt); err != nil {
		return err
	}
	if err := server.Wait(); err != nil {
		return fmt.Errorf("the server ended with %w", err)
	}
	if l.failed > 0 {
		return fmt.Errorf("%d requests failed; the last: %s", l.failed, l.last)
	}
	return nil
}

// A load is what is asked and what came of it.
type load struct {
	base   string
	pid    int
	client *http.Client

	mu       sync.Mutex
	have     []string
	took     map[string][]float64 // ms, the server's word, by the kind of request
	answered map[string][]float64 // ms, from the request to the last byte
	failed   int
	last     string // why the last failed
	live     []int  // MB, what each collection left
}

func (l *load) all(rate int, span time.Duration, drags int) error {
	if err := l.learn(); err != nil {
		return err
	}
	for n := range 100 { // so that what is filled once is filled: an edit, a view of it and a try each
		for _, k := range []int{0, 5, 50} {
			l.step(100*n + k)
		}
	}
	l.reset()
	before, cpu := l.rss(), l.cpu()
	l.least()
	fmt.Printf("%d requests a second for %v: 90 %% try, 7 %% view, 3 %% edit\n", rate, span)
	total := l.pour(rate, span/2)
	first := l.least()
	total += l.pour(rate, span-span/2)
	second := l.least()
	fmt.Printf("  errors %d of %d\n  resident memory %.1f MB before, %.1f MB after; in use after a collection %d MB in the first half, %d MB in the second\n  processor time %.2f ms a request\n",
		l.failed, total, before, l.rss(), first, second, 1e3*(l.cpu()-cpu)/float64(total))
	l.print()
	if second > first+first/mostGrowth+slack {
		return fmt.Errorf("the server grows: %d MB in use in the second half, %d MB in the first", second, first)
	}
	failed := l.failed
	l.reset()
	cpu = l.cpu()
	fmt.Printf("%d steps of a drag alone, six candidates × 400 points\n", drags)
	for n := range drags {
		l.try("drag, one changes", "candidates.one.enclosure.volume", liters(n))
	}
	fmt.Printf("  processor time %.2f ms a step\n", 1e3*(l.cpu()-cpu)/float64(drags))
	cpu = l.cpu()
	for n := range drags {
		l.try("drag, all change", "source.resistance", fmt.Sprintf("%.4f ohm", float64(n)/10000))
	}
	fmt.Printf("  processor time %.2f ms a step where all change\n", 1e3*(l.cpu()-cpu)/float64(drags))
	l.print()
	l.failed += failed
	return nil
}

func (l *load) reset() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.took, l.answered, l.failed = map[string][]float64{}, map[string][]float64{}, 0
}

func liters(n int) string { return fmt.Sprintf("%.3f L", 20+float64(n%20000)/1000) }

// What is in use swings with the requests under way, so the least of many
// collections is looked at: what requests leave behind adds to that too.
const (
	mostGrowth = 10 // a tenth
	slack      = 4  // MB
)

// heed reads what the server tells: its collections are noted, the rest is passed on.
func (l *load) heed(told io.Reader) {
	for lines := bufio.NewScanner(told); lines.Scan(); {
		left, _, ok := strings.Cut(lines.Text(), " MB, ")
		if !ok || !strings.HasPrefix(left, "gc ") {
			fmt.Fprintln(os.Stderr, lines.Text())
			continue
		}
		// gc 7 @2.1s 3%: … 40->41->9 MB, …
		if mb, err := strconv.Atoi(left[strings.LastIndex(left, ">")+1:]); err == nil {
			l.mu.Lock()
			l.live = append(l.live, mb)
			l.mu.Unlock()
		}
	}
}

// least is the least that a collection left since the last call, MB.
func (l *load) least() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.live) == 0 {
		return 0
	}
	mb := slices.Min(l.live)
	l.live = nil
	return mb
}

// pour sends requests at their times, whether others are answered or not.
func (l *load) pour(rate int, span time.Duration) int {
	total := int(span.Seconds() * float64(rate))
	start := time.Now()
	var wg sync.WaitGroup
	for n := range total {
		time.Sleep(time.Until(start.Add(time.Duration(n) * time.Second / time.Duration(rate))))
		wg.Add(1)
		go func() {
			defer wg.Done()
			l.step(n)
		}()
	}
	wg.Wait()
	return total
}

func (l *load) step(n int) {
	switch {
	case n%100 < 3:
		l.post("edit", "edit", map[string]any{"base": "", "quick": true, "have": l.held(), "label": "load",
			"changes": []any{map[string]any{"do": "set", "path": "candidates.pair.enclosure.volume", "value": liters(n)}}})
	case n%100 < 10:
		l.post("view", "view", map[string]any{"have": l.held()})
	default:
		l.try("try", "candidates.one.enclosure.volume", liters(n))
	}
}

func (l *load) try(kind, path, value string) {
	l.post(kind, "try", map[string]any{"quick": true, "have": l.held(), "changes": []any{map[string]any{"do": "set", "path": path, "value": value}}})
}

func (l *load) held() []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.have
}

// learn finds the keys of what a page would have.
func (l *load) learn() error {
	res, err := l.client.Post(l.base+"view", "application/json", strings.NewReader("{}"))
	if err != nil {
		return err
	}
	defer res.Body.Close()
	var v struct {
		Result struct {
			Heads      string `json:"heads_key"`
			Frequency  string `json:"frequency_key"`
			Candidates []struct {
				Curves   string `json:"curves_key"`
				Drawings string `json:"drawings_key"`
				Wiring   string `json:"wiring_key"`
				Cells    string `json:"cells_key"`
			}
		}
	}
	if err := json.NewDecoder(res.Body).Decode(&v); err != nil {
		return err
	}
	l.have = append(l.have, v.Result.Heads, v.Result.Frequency)
	for _, c := range v.Result.Candidates {
		l.have = append(l.have, c.Curves, c.Drawings, c.Wiring, c.Cells)
	}
	if n := len(v.Result.Candidates); n != 6 {
		return fmt.Errorf("the bench has %d candidates, not six", n)
	}
	return nil
}

func (l *load) post(kind, op string, body any) {
	data, err := json.Marshal(body)
	if err != nil {
		panic(err)
	}
	start := time.Now()
	took, err := l.answer(op, data)
	all := float64(time.Since(start).Microseconds()) / 1000
	l.mu.Lock()
	defer l.mu.Unlock()
	if err != nil {
		l.failed++
		l.last = err.Error()
		return
	}
	l.took[kind] = append(l.took[kind], took)
	l.answered[kind] = append(l.answered[kind], all)
}

func (l *load) answer(op string, body []byte) (took float64, err error) {
	res, err := l.client.Post(l.base+op, "application/json", bytes.NewReader(body))
	if err != nil {
		return 0, err
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		return 0, err
	}
	var v struct {
		Result *struct{}
		Detail string
	}
	if err := json.Unmarshal(data, &v); err != nil {
		return 0, err
	}
	if res.StatusCode != http.StatusOK || v.Result == nil {
		return 0, fmt.Errorf("%s: %s %s", op, res.Status, v.Detail)
	}
	if _, err := fmt.Sscanf(res.Header.Get("Server-Timing"), "answer;dur=%g", &took); err != nil {
		return 0, fmt.Errorf("%s: the server does not say what it took: %w", op, err)
	}
	return took, nil
}

func (l *load) print() {
	kinds := make([]string, 0, len(l.took))
	for k := range l.took {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	for _, k := range kinds {
		fmt.Printf("  %-18s server %s   answered %s   n %d\n", k, spread(l.took[k]), spread(l.answered[k]), len(l.took[k]))
	}
}

func spread(ms []float64) string {
	slices.Sort(ms)
	at := func(share float64) float64 { return ms[min(int(share*float64(len(ms))), len(ms)-1)] }
	return fmt.Sprintf("p50 %.1f p95 %.1f max %.1f ms", at(0.5), at(0.95), ms[len(ms)-1])
}

// rss is the server's resident memory, MB; 0 where the system does not tell.
func (l *load) rss() float64 {
	text, _ := os.ReadFile(fmt.Sprintf("/proc/%d/status", l.pid))
	_, rest, _ := strings.Cut(string(text), "VmRSS:")
	fields := strings.Fields(rest)
	if len(fields) == 0 {
		return 0
	}
	kb, _ := strconv.ParseFloat(fields[0], 64)
	return kb / 1024
}

// cpu is the server's processor time, s; 0 where the system does not tell.
func (l *load) cpu() float64 {
	text, _ := os.ReadFile(fmt.Sprintf("/proc/%d/stat", l.pid))
	_, rest, _ := strings.Cut(string(text), ") ")
	fields := strings.Fields(rest)
	if len(fields) < 13 {
		return 0
	}
	user, _ := strconv.ParseFloat(fields[11], 64)
	system, _ := strconv.ParseFloat(fields[12], 64)
	return (user + system) / 100 // in ticks of 10 ms
}
