package folder

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

var killRounds = flag.Int("rounds", 12, "how often TestKilledSaving kills")

// The tests' program saves in a loop when it finds this; see TestKilledSaving.
const savingChild = "BASSWRIGHT_TEST_SAVE_IN"

func TestMain(m *testing.M) {
	if dir := os.Getenv(savingChild); dir != "" {
		saveInALoop(dir)
		return
	}
	os.Exit(m.Run())
}

const savesInALoop = 200

// saveInALoop saves, undoes and redoes 200 times, and tells of each time that it
// is done.
func saveInALoop(dir string) {
	fail := func(err error) {
		if err != nil {
			fmt.Println("fault:", err)
			os.Exit(1)
		}
	}
	f, err := Open(dir, Options{})
	fail(err)
	v, err := f.Read("heath")
	fail(err)
	from, err := number(v.Text)
	fail(err)
	for i := range savesInALoop {
		if i%10 == 9 {
			v, err = f.Undo("heath", v.Revision)
			fail(err)
			v, err = f.Redo("heath", v.Revision)
			fail(err)
		}
		n := from + i + 1
		v, err = f.Save("heath", v.Revision, numbered(n), fmt.Sprintf("save %d", n))
		fail(err)
		if v.NoHistory != "" {
			fail(fmt.Errorf("%s", v.NoHistory))
		}
		fmt.Println(n)
	}
}

// numbered is a text that shows whether it is whole.
func numbered(n int) []byte {
	body := fmt.Appendf(nil, "study: %d\n%s", n, strings.Repeat(fmt.Sprintf("# line %d\n", n), 300+n%7*100))
	return fmt.Appendf(body, "# %s\n", Revision(body))
}

func number(text []byte) (int, error) {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	n, err := strconv.Atoi(strings.TrimPrefix(string(first), "study: "))
	if err == nil && !bytes.Equal(text, numbered(n)) {
		err = fmt.Errorf("the text of save %d is not whole: %d bytes of %d", n, len(text), len(numbered(n)))
	}
	return n, err
}

// A program that is killed while it saves leaves the text before or after the
// save, whole, and a history that opens and holds every save that was told.
func TestKilledSaving(t *testing.T) {
	rounds := *killRounds
	dir := t.TempDir()
	write(t, filepath.Join(dir, "heath.yaml"), string(numbered(0)))
	random := rand.New(rand.NewPCG(20, 3))
	told, killed := 0, 0
	for range rounds {
		last, early := killedRound(t, dir, 1+random.IntN(savesInALoop-1), time.Duration(random.IntN(3000))*time.Microsecond)
		told = max(told, last)
		if early {
			killed++
		}
		n, err := number([]byte(content(t, filepath.Join(dir, "heath.yaml"))))
		if err != nil {
			t.Fatal(err)
		}
		// An undo in progress is the only way back, a save in progress the only way on.
		if n < told-1 || n > told+1 {
			t.Fatalf("save %d was told, the file holds %d", told, n)
		}
		f := open(t, dir)
		v, err := f.Read("heath")
		v = good(t, v, err)
		if v.CanUndo == "" {
			t.Fatal("nothing to undo after saves")
		}
		states, err := f.History("heath")
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, s := range states {
			text, err := f.State("heath", s.ID)
			if err != nil {
				t.Fatal(err)
			}
			m, err := number(text)
			if err != nil {
				t.Fatal(err)
			}
			found = found || m == told
		}
		if !found || len(states) > mostStates {
			t.Fatalf("%d states, save %d among them: %v", len(states), told, found)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		told = n // the next round counts on from the file
	}
	if killed*10 < rounds*8 {
		t.Fatalf("%d of %d rounds were killed in the middle: the test tests little", killed, rounds)
	}
	parts, err := filepath.Glob(filepath.Join(dir, hidden, "*"+partEnd))
	if err != nil || len(parts) > 0 {
		t.Fatal("left over: ", parts, err)
	}
}

// killedRound lets a program save, and kills it a while after it has told of so
// many saves. It returns the last save told, and whether it was killed before it
// had finished.
func killedRound(t *testing.T, dir string, after int, more time.Duration) (last int, early bool) {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), savingChild+"="+dir)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for count := 1; lines.Scan(); count++ {
		n, err := strconv.Atoi(lines.Text())
		if err != nil {
			t.Fatal(lines.Text())
		}
		last = n
		if count == after {
			time.AfterFunc(more, func() { cmd.Process.Kill() })
		}
	}
	return last, cmd.Wait() != nil
}

// Whatever a save that was interrupted has left is kept, if nobody else has it,
// and is cleared away.
func TestLeftBySomethingInterrupted(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	v, err := f.Read("heath")
	good(t, v, err)
	f.Close()
	at := func(own string) string {
		return filepath.Join(dir, newAside("heath.yaml", Revision([]byte("one\n")), own, time.Now().Add(-time.Minute)).path)
	}
	write(t, filepath.Join(dir, "heath.yaml"), "two\n") // taken its place, not noted
	write(t, at(Revision([]byte("two\n"))), "one\n")    // what it replaced
	write(t, at(Revision([]byte("three\n"))), "three\n")
	write(t, at(Revision([]byte("four\n"))), "an editor’s\n")
	write(t, at(Revision([]byte("five\n"))), "")
	write(t, filepath.Join(dir, hidden, "heath.yaml.ABC"+partEnd), "half a te")
	write(t, filepath.Join(dir, hidden, "x"+asideEnd), "not ours")
	f = open(t, dir)
	states, err := f.History("heath")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, s := range states {
		text, err := f.State("heath", s.ID)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, s.Label+": "+string(text))
	}
	want := "as found: one\n|saved before the program was interrupted: two\n|changed outside, overtaken by a save: an editor’s\n"
	if strings.Join(got, "|") != want || !states[1].Current {
		t.Fatalf("%q", got)
	}
	v, err = f.Undo("heath", Revision([]byte("two\n")))
	v = good(t, v, err)
	if string(v.Text) != "one\n" {
		t.Fatalf("%q", v.Text)
	}
	left, err := filepath.Glob(filepath.Join(dir, hidden, "heath.yaml.*"))
	if err != nil || len(left) != 2 { // the history, and what the undo replaced
		t.Fatal(left, err)
	}
}
