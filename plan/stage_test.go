package plan

import (
	"context"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"raftwright/bed"
	"raftwright/brief"
	"raftwright/finding"
	"raftwright/raft"
	"raftwright/unit"
	"raftwright/water"
)

// sample reads a brief that stands beside the examples, with its climate files.
func sample(t testing.TB, path string) (*brief.Brief, Files) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse(filepath.Base(path), text)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	files := Files{}
	for _, f := range b.Site.Climate {
		if files[f.Value], err = os.ReadFile(filepath.Join(filepath.Dir(path), f.Value)); err != nil {
			t.Fatal(err)
		}
	}
	return b, files
}

func job(b *brief.Brief, book Book, files Files, asked Part) Job {
	return Job{Brief: b, Book: book, Files: files, Asked: asked}
}

func eachSample(t *testing.T, do func(t *testing.T, b *brief.Brief, files Files)) {
	names, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(names) < 5 {
		t.Fatalf("%d examples: %v", len(names), err)
	}
	for _, n := range names {
		t.Run(strings.TrimSuffix(filepath.Base(n), ".yaml"), func(t *testing.T) {
			b, files := sample(t, n)
			do(t, b, files)
		})
	}
}

// A stage needs nothing but what it declares: handed the whole brief and everything
// made before, it makes the same.
func TestStagesNeedWhatTheyDeclare(t *testing.T) {
	book := DefaultBook()
	eachSample(t, func(t *testing.T, b *brief.Brief, files Files) {
		needsWhatItDeclares(t, job(b, book, files, Everything|Found|Amiss))
	})
	// a bed for the heads that are wanted is as large as the spacing asks, and that is chosen in steps of the brief's units
	b, faults := brief.Parse("bed.yaml", []byte("units: metric\ncrop: {name: cucumber}\nschedule: {heads per week: 2}\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	needsWhatItDeclares(t, job(b, book, nil, Everything))
}

func needsWhatItDeclares(t *testing.T, j Job) {
	t.Helper()
	declared, open := work{Job: j}.all(), work{Job: j, open: true}.all()
	for i, s := range declared {
		if (s.made == nil) != (open[i].made == nil) {
			t.Errorf("%s is made with one of the two only", s.name)
			continue
		}
		if s.made == nil {
			continue
		}
		var a, z maker
		s.hand(&a)
		open[i].hand(&z)
		if !same(a, z) {
			t.Errorf("%s makes another result from the whole brief", s.name)
		}
		if !same(s.made.findings, open[i].made.findings) || !same(s.made.assumptions, open[i].made.assumptions) || !same(s.faults, open[i].faults) {
			t.Errorf("%s tells other things from the whole brief", s.name)
		}
	}
}

// So it is over random briefs, and a plan with a memory is that of nothing remembered
// after every edit: each edit takes a value of another random brief.
func TestRandomBriefsInStages(t *testing.T) {
	book, briefs, edits := DefaultBook(), 30, 4
	if n, err := strconv.Atoi(os.Getenv("RAFTWRIGHT_BRIEFS")); err == nil && n > 0 { // 2000 before a release
		briefs = n
	} else if testing.Short() {
		briefs, edits = 5, 3
	}
	var crops []string
	for _, c := range book.Crops.Crops() {
		crops = append(crops, c.ID)
	}
	r := rand.New(rand.NewPCG(5, 8))
	var mem Memory
	var other map[finding.Path]string
	planned, edited := 0, map[string]int{}
	for n := range briefs {
		text := plausible(r, crops)
		if n%2 == 0 { // half of them with a season
			text = strings.Replace(text, "site: {", "site: {latitude: 42, months: ["+strings.Repeat("{tmax: 22 C, tmin: 11 C}, ", 12)+"], ", 1)
		}
		b, faults := brief.Parse("bed.yaml", []byte(text))
		if len(faults) > 0 {
			continue
		}
		planned++
		needsWhatItDeclares(t, job(b, book, nil, Everything))
		paths := slices.Sorted(maps.Keys(other))
		for range edits * min(1, len(paths)) {
			path := paths[r.IntN(len(paths))]
			c, faults := b.Set(path, other[path])
			if len(faults) > 0 {
				continue
			}
			b = c
			edited[strings.SplitN(string(path), ".", 2)[0]]++
			if remembered, fresh := job(b, book, nil, Everything).Make(&mem), job(b, book, nil, Everything).Make(nil); !same(told(remembered), told(fresh)) {
				t.Errorf("after %s = %s another plan is remembered than is made:\n%s", path, other[path], text)
			}
		}
		other = textsOf(b)
		if t.Failed() {
			t.Fatalf("brief %d:\n%s", n, text)
		}
	}
	t.Logf("%d briefs, edits of %v", planned, edited)
	if planned < briefs*3/4 || len(edited) < 3 {
		t.Errorf("%d briefs of %d, edits of %v", planned, briefs, edited)
	}
}

// same is reflect.DeepEqual with functions and not-a-numbers that are equal to themselves.
// told is a plan without the ground that it stands on: that works out only what it was asked
// for, and what it gave stands in the season.
func told(p Plan) Plan {
	p.Ground = nil
	return p
}

func same(a, b any) bool { return alike(reflect.ValueOf(a), reflect.ValueOf(b), 0) }

func alike(a, b reflect.Value, depth int) bool {
	if !a.IsValid() || !b.IsValid() {
		return a.IsValid() == b.IsValid()
	}
	if a.Type() != b.Type() || depth > 60 {
		return false
	}
	switch a.Kind() {
	case reflect.Func:
		return a.IsNil() == b.IsNil()
	case reflect.Float64, reflect.Float32:
		return math.Float64bits(a.Float()) == math.Float64bits(b.Float())
	case reflect.Pointer, reflect.Interface:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() == b.IsNil()
		}
		if a.Kind() == reflect.Pointer && a.Pointer() == b.Pointer() {
			return true
		}
		return alike(a.Elem(), b.Elem(), depth+1)
	case reflect.Struct:
		for i := range a.NumField() {
			if a.Type().Field(i).Name == "held" { // what a month of a season was asked last, to be told again without working it out
				continue
			}
			if !alike(a.Field(i), b.Field(i), depth+1) {
				return false
			}
		}
		return true
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !alike(a.Index(i), b.Index(i), depth+1) {
				return false
			}
		}
		return true
	case reflect.Map:
		if a.Len() != b.Len() {
			return false
		}
		for _, k := range a.MapKeys() {
			if !alike(a.MapIndex(k), b.MapIndex(k), depth+1) {
				return false
			}
		}
		return true
	}
	return a.Equal(b)
}

// A memory never changes a plan: whatever was planned before, the plan is that of
// nothing remembered. What was planned from is not made again.
func TestMemoryChangesNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	book := DefaultBook()
	var all Memory
	fresh := map[*brief.Brief]Plan{}
	eachSample(t, func(t *testing.T, b *brief.Brief, files Files) {
		job(b, book, files, Everything).Make(&all)
		fresh[b], _ = Make(b, book, files, Everything)
	})
	for b, p := range fresh { // each beside all others
		if made := job(b, book, Files{}, Everything).Make(&all); len(b.Site.Climate) == 0 && !same(told(p), told(made)) {
			t.Errorf("%s: another plan with a memory", b.File)
		}
	}
}

// What rests on a changed key is made again, and nothing else is.
func TestMemoryMakesAgainWhatChanged(t *testing.T) {
	book := DefaultBook()
	b, files := sample(t, "../examples/demo.yaml")
	var mem Memory
	before := work{memory: &mem, Job: job(b, book, files, Everything)}.all()
	might := []string{"spacing", "helps", "buys", "pond", "ground", "enough", "foam", "holes", "power", "sold", "wood", "goods", "warmest", "bed-ammonia"} // they rest on a part of what changed
	for change, want := range map[string][]string{
		"title":    nil,
		"depth":    {"size", "volume", "raft", "load", "frame", "boards", "cure", "mix", "pond", "ground", "season", "warmth", "cost"},
		"net pot":  {"prices", "cost"}, // and what helps, which buys pots
		"head":     {"cost"},
		"calcium":  {"water", "cure", "mix", "cost"},
		"log ph":   nil,
		"kerf":     {"wood", "frame", "boards", "pond", "cost"},
		"schedule": {"season", "warmth", "cost"},
	} {
		c := *b
		switch change {
		case "title":
			c.Title.Value = "another"
		case "depth":
			c.Bed.Depth.Value += 0.01
		case "net pot":
			c.Prices.Items = append(brief.Table[brief.Price]{}, c.Prices.Items...)
			c.Prices.Items[1].Value.Amount = c.Prices.Items[0].Value.Amount
		case "head":
			c.Prices.Head.Value.Amount = c.Prices.Labor.Value.Amount
		case "calcium":
			c.Water.Calcium.Value.Value += 1
		case "log ph":
			c.Log = append([]brief.Record{}, c.Log...)
			c.Log[0].PH.Value += 0.1
		case "kerf":
			c.Cut.Kerf.Value += 0.001
		case "schedule":
			c.Schedule.LastHarvest.Value.Day++
		}
		after := work{memory: &mem, Job: job(&c, book, files, Everything)}.all()
		for i, r := range after {
			again := r.made != before[i].made
			if r.aside {
				again = r.number != before[i].number
			}
			wanted := slices.Contains(want, r.name)
			if again && !wanted && !slices.Contains(might, r.name) {
				t.Errorf("%s: %s is made again", change, r.name)
			}
			if !again && wanted && !slices.Contains(might, r.name) {
				t.Errorf("%s: %s is not made again", change, r.name)
			}
		}
	}
}

// A memory that is told to forget holds what the last plans took and no more, and what they took is not made again however
// many plans came between.
func TestMemoryForgets(t *testing.T) {
	book := DefaultBook()
	b, files := sample(t, "../examples/demo.yaml")
	var mem Memory
	mem.Forget() // nothing is there yet
	first := work{memory: &mem, Job: job(b, book, files, Everything)}.all()
	held := func() (n int) {
		for i, at := range mem.stages {
			n += len(at.made)
			if len(at.order) != len(at.made) {
				t.Errorf("%s: %d results in order, %d known", stages[i].name, len(at.order), len(at.made))
			}
		}
		return n
	}
	most := 0
	for n := range 40 {
		c := *b
		c.Bed.Depth.Value += unit.Length(n+1) / 1000
		after := work{memory: &mem, Job: job(&c, book, files, Everything)}.all()
		for i, r := range after {
			if slices.Contains([]string{"crop", "prices", "water", "target", "shelf", "climate"}, r.name) && r.made != first[i].made {
				t.Fatalf("plan %d: %s is made again", n, r.name)
			}
		}
		if mem.Forget(); n == 3 {
			most = held()
		}
	}
	if got := held(); got > most {
		t.Errorf("%d results are held after 40 plans, %d after 4", got, most)
	}
	fresh := job(b, book, files, Everything).Make(nil)
	if again := job(b, book, files, Everything).Make(&mem); !same(told(fresh), told(again)) {
		t.Error("what was forgotten is made another way")
	}
	mem.Forget()
	mem.Forget()
	if got := held(); got > 0 {
		t.Errorf("%d results are held that nothing took", got)
	}
}

// Asking for a part selects: what it makes and tells is what the whole plan makes and
// tells of it.
func TestPartsSelect(t *testing.T) {
	book := DefaultBook()
	eachSample(t, func(t *testing.T, b *brief.Brief, files Files) {
		var mem Memory // remembers only what is made from the same
		whole := job(b, book, files, Everything).Make(&mem)
		if len(whole.Faults) > 0 {
			t.Skip("no whole plan")
		}
		told := map[finding.ID]bool{}
		for _, f := range whole.Findings {
			told[f.ID] = true
		}
		for part, of := range map[Part]func(Plan) any{
			Raft: func(p Plan) any { return p.Raft }, Frame: func(p Plan) any { return []any{p.Frame, p.FrameChoices, p.FrameRemedies} },
			Cut: func(p Plan) any { return []any{p.Boards, p.Foam} }, Water: func(p Plan) any { return []any{p.Water, p.Safer, p.AsAsked().Water} },
			Mix: func(p Plan) any { return []any{p.Mix, p.Meter, p.Amiss, p.AsAsked().Mix} }, Season: func(p Plan) any { return []any{p.Season, p.Warmth} },
			Cost: func(p Plan) any { return p.Cost },
		} {
			p := job(b, book, files, part).Make(&mem)
			if len(p.Faults) > 0 {
				continue // the command by itself needs more to be said
			}
			if !same(of(p), of(whole)) {
				t.Errorf("part %d is another than in the whole plan", part)
			}
			for _, f := range p.Findings {
				if !told[f.ID] && f.ID != FindStrongAcid && f.ID != FindHolesShort && f.ID != water.FindChlorine && f.ID != water.FindChloramine && f.ID != water.FindAcidify { // said with better figures by the mix and by the season
					t.Errorf("part %d tells %s, the whole plan does not", part, f.ID)
				}
			}
		}
	})
}

// A plan that is stopped says so where a search was cut off, and a memory keeps
// nothing of that: the next plan with it is the whole one.
func TestStoppedPlan(t *testing.T) {
	b, files := sample(t, "../examples/tank.yaml")
	var mem Memory
	j := job(b, DefaultBook(), files, Raft)
	stopped, stop := context.WithCancel(context.Background())
	stop()
	j.Stop = stopped
	p := j.Make(&mem)
	if p.Raft != nil || !slices.ContainsFunc(p.Faults, func(f finding.Fault) bool { return f.ID == raft.FaultStopped && f.Path == "raft.pattern" }) {
		t.Errorf("a stopped plan has a raft or does not say that it was stopped: %v", p.Faults)
	}
	j.Stop = nil
	if got, want := j.Make(&mem), j.Make(nil); got.Raft == nil || got.Raft.Holes != want.Raft.Holes || len(got.Faults) > 0 {
		t.Errorf("after a stop: %v", got.Faults)
	}
}

// What goes wrong in a stage comes to whoever asked for the plan, whoever made the stage.
func TestAPanicIsTheCallers(t *testing.T) {
	b, files := sample(t, "../examples/demo.yaml")
	j := job(b, DefaultBook(), files, Everything)
	j.Learn = func(*Plan, bed.Log) bed.Learned { panic("of the learner") }
	for range 20 {
		func() {
			defer func() {
				if r := fmt.Sprint(recover()); !strings.HasPrefix(r, "of the learner") {
					t.Errorf("what came is %v", r)
				}
			}()
			j.Make(nil)
		}()
	}
}

// Whoever works alone makes the same plan, and has no helper.
func TestAloneChangesNothing(t *testing.T) {
	b, files := sample(t, "../examples/demo.yaml")
	j := job(b, DefaultBook(), files, Everything)
	two := j.Make(nil)
	j.Alone = true
	if one := j.Make(nil); !same(told(two), told(one)) {
		t.Error("another plan by one hand")
	}
}
