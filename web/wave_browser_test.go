package web

import (
	"net/url"
	"strconv"
	"testing"
)

// The rules of the web find nothing on the pages of a follow-up: the office's, with its links, and those of who answers.
func TestRulesOfAFollowUp(t *testing.T) {
	ctx := browser(t)
	axe := rulesOfTheWeb(t)
	server := houseWithYear(t)
	at := server.URL + "/program/wave/A6"
	sent := post(t, at, url.Values{"saw": {fieldsOf(t, get(t, at).body).Get("saw")}}) // a reminder goes to nobody yet
	if sent.status != 200 {
		t.Fatal(sent.status)
	}
	for i, q := range [][]string{{"ph", "I can read pH", "Puedo leer el pH", "five", "", ""}, {"log", "I keep a log of the bed", "Llevo un registro de la cama", "yes", "", ""}, {"where", "Where I grow now", "Dónde cultivo ahora", "one of", "at home|at a school|nowhere", "en casa|en una escuela|en ninguna parte"}, {"beds", "How many beds I built", "Cuántas camas construí", "number", "", ""}} {
		post(t, server.URL+"/program/questions", url.Values{"id": {"01890000-0000-7000-8000-00000000001" + strconv.Itoa(i)}, "form": {"spring"}, "kind": {"looking back"}, "item": {q[0]}, "english": {q[1]}, "spanish": {q[2]}, "answer": {q[3]}, "choices": {q[4]}, "choices_spanish": {q[5]}})
	}
	post(t, server.URL+"/program/waves", url.Values{"form": {"spring"}, "id": {"01890000-0000-7000-8000-000000000001"}, "wave": {"N1"}, "question": {"Is it growing?"}, "sent": {"0"}, "undeliverable": {"0"}, "planned_on": {"2027-05-01"}})
	at = server.URL + "/program/wave/N1"
	link := answerLink.FindString(post(t, at, url.Values{"saw": {fieldsOf(t, get(t, at).body).Get("saw")}}).body)
	if link == "" {
		t.Fatal("no link")
	}
	for _, path := range []string{"/program/wave/N1", link, "/answer/AAAAAAAAAAAAAAAAAAAAAA"} {
		obeysTwice(t, ctx, server.URL, axe, path)
	}
}
