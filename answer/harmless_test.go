package answer

import (
	"encoding/json"
	"strings"
	"testing"
)

// A sign that turns the direction of writing, or that is not seen, stands in JSON as an escape, and is read back as it was.
func TestNoSignSteersATerminal(t *testing.T) {
	for text, want := range map[string]string{
		"a\u202egnp": `a\u202egnp`, "z\u200bw": `z\u200bw`, "c\u009bd\u007f": `c\u009bd\u007f`, "t\U000e0041": `t\udb40\udc41`, "ñ ½ <b>": "ñ ½ <b>",
	} {
		var out strings.Builder
		if err := Write(&out, map[string]string{"text": text}); err != nil {
			t.Fatal(err)
		}
		if got := out.String(); got != `{"text":"`+want+"\"}\n" {
			t.Errorf("%q is written %q", text, got)
		}
		var back map[string]string
		if err := json.Unmarshal([]byte(out.String()), &back); err != nil || back["text"] != text {
			t.Errorf("%q comes back %q, %v", text, back["text"], err)
		}
	}
}
