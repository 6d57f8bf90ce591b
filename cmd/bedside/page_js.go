package main

import (
	"syscall/js"
	"time"

	"raftwright/brief"
	"raftwright/finding"
	"raftwright/plan"
)

// start gives the page its functions, calls raftwrightReady where the page has one, and stays.
func start() {
	e := &bedside{book: plan.DefaultBook()}
	js.Global().Set("raftwright", map[string]any{
		"speak": js.FuncOf(func(_ js.Value, args []js.Value) any {
			if err := e.speak(text(args, 0)); err != nil {
				return failed(err)
			}
			return js.Undefined()
		}),
		"tend": js.FuncOf(func(_ js.Value, args []js.Value) any {
			now, err := time.Parse("2006-01-02T15:04", text(args, 2))
			if err != nil {
				return failed(err)
			}
			var pairs []brief.Pair
			for _, p := range list(args[0]) {
				pairs = append(pairs, brief.Pair{Path: finding.Path(p[0]), Text: p[1]})
			}
			var visits []map[string][]string
			for i := range args[1].Length() {
				form := map[string][]string{}
				for _, p := range list(args[1].Index(i)) {
					form[p[0]] = append(form[p[0]], p[1])
				}
				visits = append(visits, form)
			}
			t, err := e.tend(pairs, visits, now)
			if err != nil {
				return failed(err)
			}
			done, wrong := []any{}, []any{}
			for _, p := range t.done {
				done = append(done, []any{string(p.Path), p.Text})
			}
			for _, w := range t.wrong {
				wrong = append(wrong, []any{w[0], w[1]})
			}
			return map[string]any{"now": t.now, "rest": t.rest, "done": done, "wrong": wrong}
		}),
	})
	if ready := js.Global().Get("raftwrightReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}

// list gives a list of pairs of texts.
func list(v js.Value) (out [][2]string) {
	if v.Type() != js.TypeObject {
		return nil
	}
	for i := range v.Length() {
		if p := v.Index(i); p.Type() == js.TypeObject && p.Length() == 2 {
			out = append(out, [2]string{p.Index(0).String(), p.Index(1).String()})
		}
	}
	return out
}

// text gives a text that the page gave, or none.
func text(args []js.Value, i int) string {
	if i < len(args) && args[i].Type() == js.TypeString {
		return args[i].String()
	}
	return ""
}

// failed gives an Error of the page.
func failed(err error) any { return js.Global().Get("Error").New(err.Error()) }
