package proof

import (
	"bytes"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/plan"
	"raftwright/press"
	"raftwright/press/paper"
	"raftwright/sky"
	"raftwright/sky/places"
)

// Several may plan and print at once, with one memory between them, as on a server:
// each gets what one alone gets. The check runs this with the race detector.
func TestManyAtOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	atlas, err := sky.OpenAtlas(places.Packed)
	if err != nil {
		t.Fatal(err)
	}
	book := plan.DefaultBook().With(atlas)
	var names []string
	for _, n := range []string{"demo", "tub", "escuela"} {
		names = append(names, filepath.Join("../../../examples", n+".yaml"))
	}
	print := func(name string, memory *plan.Memory) ([]byte, error) {
		text, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		b, faults := brief.Parse(name, text)
		if len(faults) > 0 {
			return nil, faults
		}
		p := plan.Job{Brief: b, Book: book, Files: plan.Files{}, Asked: plan.Everything}.Make(memory)
		units := lang.US
		if p.Metric() {
			units = lang.Metric
		}
		words, err := lang.For(p.Language(), units)
		if err != nil {
			return nil, err
		}
		doc := packet.Faces(p, words, packet.Options{})
		var out bytes.Buffer
		for _, write := range []func() error{
			func() error { return answer.Write(&out, answer.For(p, plan.Everything, words, true)) },
			func() error { return press.HTML(doc, &out) },
			func() error { return paper.PDF(doc, &out) },
		} {
			if err := write(); err != nil {
				return nil, err
			}
		}
		return out.Bytes(), nil
	}
	alone := map[string][]byte{}
	for _, n := range names {
		out, err := print(n, nil)
		if err != nil {
			t.Fatal(err)
		}
		alone[n] = out
	}
	memory := &plan.Memory{}
	var all sync.WaitGroup
	for range 2 {
		for _, n := range names {
			all.Go(func() {
				if out, err := print(n, memory); err != nil || !bytes.Equal(out, alone[n]) {
					t.Errorf("%s at once with others is another: %v", n, err)
				}
			})
		}
	}
	all.Wait()
}
