package main

import (
	"syscall/js"

	"raftwright/plan"
)

// start gives the page its function, calls raftwrightReady where the page has one,
// and stays.
func start() {
	e := &engine{book: plan.DefaultBook()}
	js.Global().Set("raftwright", map[string]any{"plan": js.FuncOf(func(_ js.Value, args []js.Value) any {
		text := func(i int) string {
			if i < len(args) && args[i].Type() == js.TypeString {
				return args[i].String()
			}
			return ""
		}
		file := func(name string) (string, bool) {
			if len(args) < 3 || args[2].Type() != js.TypeObject {
				return "", false
			}
			f := args[2].Get(name)
			if f.Type() != js.TypeString {
				return "", false
			}
			return f.String(), true
		}
		out, err := e.plan(text(0), text(1), file, len(args) > 3 && args[3].Truthy())
		if err != nil {
			return js.Global().Get("Error").New(err.Error())
		}
		return string(out)
	})})
	if ready := js.Global().Get("raftwrightReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}
