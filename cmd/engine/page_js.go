package main

import (
	"syscall/js"

	"raftwright/plan"
)

// start gives the page its functions, calls raftwrightReady where the page has one,
// and stays.
func start() {
	e := &engine{book: plan.DefaultBook()}
	js.Global().Set("raftwright", map[string]any{
		"speak": js.FuncOf(func(_ js.Value, args []js.Value) any {
			return failed(e.speak(text(args, 0)))
		}),
		"plan": js.FuncOf(func(_ js.Value, args []js.Value) any {
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
			out, err := e.plan(text(args, 0), text(args, 1), file, len(args) > 3 && args[3].Truthy())
			if err != nil {
				return failed(err)
			}
			return string(out)
		}),
	})
	if ready := js.Global().Get("raftwrightReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}

// text gives a text that the page gave, or none.
func text(args []js.Value, i int) string {
	if i < len(args) && args[i].Type() == js.TypeString {
		return args[i].String()
	}
	return ""
}

// failed gives an Error of the page, or undefined where nothing failed.
func failed(err error) any {
	if err == nil {
		return js.Undefined()
	}
	return js.Global().Get("Error").New(err.Error())
}
