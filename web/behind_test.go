package web

import (
	"runtime"
	"testing"
)

// Work that requests go before steps back and nothing else does; what goes wrong in it is met by whoever asked for it.
func TestWorkThatStepsBack(t *testing.T) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	own := priority()
	v := &visit{}
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
