package web

import (
	"runtime"
	"testing"
	"time"

	"raftwright/lang"
	"raftwright/plan"
)

// Work that requests go before steps back and nothing else does; what goes wrong in it is met by whoever asked for it.
func TestWorkThatStepsBack(t *testing.T) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	own := priority()
	v := &visit{House: &House{}}
	v.giveWay(func() {
		if priority() != own {
			t.Error("what somebody waits for steps back")
		}
	})
	v.yields = true
	v.giveWay(func() {
		if p := priority(); stepsBack && p == own {
			t.Error("what nobody waits for goes as the others do")
		}
	})
	if priority() != own {
		t.Error("whoever asked for it steps back too")
	}
	defer func() {
		if recover() == nil {
			t.Error("our own mistake is lost")
		}
	}()
	v.giveWay(func() { panic("ours") })
}

// For each work that steps back, and only meanwhile, an office has a place to run more than there are processors.
func TestAPlaceMoreWhileSomethingStepsBack(t *testing.T) {
	before := runtime.GOMAXPROCS(0)
	h := &House{}
	h.GoFirst()
	v := &visit{House: h, yields: true}
	v.giveWay(func() {
		if n := runtime.GOMAXPROCS(0); n != before+1 {
			t.Errorf("%d places while something steps back, of %d", n, before)
		}
		v.giveWay(func() {
			if n := runtime.GOMAXPROCS(0); n != before+2 {
				t.Errorf("%d places while two step back, of %d", n, before)
			}
		})
		if n := runtime.GOMAXPROCS(0); n != before+1 {
			t.Errorf("%d places after one of two, of %d", n, before)
		}
	})
	if n := runtime.GOMAXPROCS(0); n != before {
		t.Errorf("%d places after that, of %d", n, before)
	}
}

// What is tried out behind is the form as it is shown, in each language.
func TestTheFirstFormIsTriedOut(t *testing.T) {
	h := &House{Store: emptyStore(t), Book: plan.DefaultBook(), Demo: []byte(invented), Now: time.Now}
	defer h.Store.Close()
	if err := h.tryOut(t.Context()); err != nil {
		t.Fatal(err)
	}
	if made := h.memory.made.Load(); made != int64(len(lang.Languages())) {
		t.Errorf("%d plans made", made)
	}
}

// Between two beds at which nobody waits the follower rests as long as it worked; who begins to wait ends that, and where somebody waits or
// nothing is left it does not.
func TestTheFollowerRestsWhereNobodyWaits(t *testing.T) {
	h := &House{Now: time.Now}
	f := &h.follower
	f.life()
	rested := func(took time.Duration) time.Duration {
		begun := time.Now()
		f.rest(t.Context(), took)
		return time.Since(begun)
	}
	const long = 10 * time.Second
	if r := rested(long); r > long/2 {
		t.Errorf("with nothing left it rests %v", r)
	}
	a := &sought{bed: "a", done: make(chan struct{})}
	f.asked = map[string]*sought{"a": a}
	if r := rested(100 * time.Millisecond); r < 100*time.Millisecond {
		t.Errorf("where nobody waits it rests %v", r)
	}
	v, err := h.background(t.Context(), "en")
	if err != nil {
		t.Fatal(err)
	}
	over := make(chan struct{})
	go func() {
		defer close(over)
		time.Sleep(50 * time.Millisecond)
		v.waitFor(a, 5*time.Second)
	}()
	if r := rested(long); r > long/2 {
		t.Errorf("when somebody begins to wait it rests on: %v", r)
	}
	if r := rested(long); r > long/2 {
		t.Errorf("where somebody waits it rests %v", r)
	}
	close(a.done)
	<-over
	if r := rested(100 * time.Millisecond); r < 100*time.Millisecond {
		t.Errorf("after one that was before it rests %v", r)
	}
}
