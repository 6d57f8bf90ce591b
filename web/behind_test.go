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

// Only while work steps back does an office have a place to run more than there are processors.
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
			if n := runtime.GOMAXPROCS(0); n != before+1 {
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
