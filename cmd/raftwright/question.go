package main

import (
	"bufio"
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"raftwright/finding"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/press"
	"raftwright/trouble"
)

// questionCmd answers a question from afar: what to ask next, what it points to, and the letter.
type questionCmd struct {
	Seen    []string `placeholder:"SIGN"`
	Not     []string `placeholder:"SIGN"`
	Is      []string `placeholder:"FACT"`
	Unknown []string `placeholder:"SIGN|GROUP"`
	Concern []string `placeholder:"WORD" enum:"illness,structure,spray,farm"`
	Ask     bool
	List    bool
	Number  string `placeholder:"TEXT"`
	Day     string `placeholder:"DAY"`
	Again   int    `default:"7" placeholder:"DAYS"`
	Units   string `enum:"us,metric" default:"us"`
	Out     string `short:"o" name:"out" placeholder:"FILE"`
	printing
}

// mostNumber is the longest number of a question; mostAgain the longest wait, days.
const mostNumber, mostAgain = 40, 60

// Run asks, points and writes.
func (c questionCmd) Run(s streams) error {
	words, err := s.speaks(nil)
	if err != nil {
		return err
	}
	units := lang.US
	if c.Units == "metric" {
		units = lang.Metric
	}
	if words, err = lang.For(words.Language, units); err != nil {
		return err
	}
	book, faults := trouble.ReadBook(trouble.Tables())
	if len(faults) > 0 {
		return report(s, nil, faults)
	}
	if c.List {
		return c.list(s, book, words)
	}
	day, err := c.date()
	if err != nil {
		return err
	}
	q := trouble.Inquiry{Number: c.Number, Call: trouble.Call{Seen: c.Seen, Not: c.Not, Is: c.Is, Unknown: c.Unknown}}
	if len(q.Number) > mostNumber {
		q.Number = q.Number[:mostNumber]
	}
	for _, w := range c.Concern {
		q.Concerns = append(q.Concerns, trouble.Concern(w))
	}
	if faults := book.Check(q.Call); len(faults) > 0 {
		return report(s, nil, faults)
	}
	if c.Ask {
		talk{bufio.NewScanner(s.in), s, words, book}.have(&q)
	}
	q.Opinion = book.Answer(q.Call)
	again := day.AddDate(0, 0, min(max(c.Again, 1), mostAgain))
	if c.Out == "" {
		var out bytes.Buffer
		if err := press.Text(packet.Intake(q, words), &out, 100); err != nil {
			return err
		}
		return s.print(out.Bytes())
	}
	o := c.options(units == lang.Metric)
	doc := packet.Letter(q, day, again, words, o)
	if second, also := s.tongue.second(); also {
		other, err := lang.For(second, units)
		if err != nil {
			return err
		}
		with := packet.Letter(q, day, again, other, o)
		with.Sections[0].Title = with.Title
		doc = page.Both(doc, with)
	}
	out, err := pressed(doc, c.Out)
	if err != nil {
		return err
	}
	if err := s.write(c.Out, out, nil, c.Force); err != nil || c.Out == "-" {
		return err
	}
	fmt.Fprintln(s.err, words.Say("command.inquiry", finding.Args{"File": c.Out}))
	return nil
}

// date is the day of the letter.
func (c questionCmd) date() (time.Time, error) {
	if c.Day == "" {
		return time.Now(), nil
	}
	day, err := time.Parse(time.DateOnly, c.Day)
	if err != nil {
		return day, finding.Fault{ID: FaultDate, Args: finding.Args{"Text": c.Day}}
	}
	return day, nil
}

// list prints all signs with their keys.
func (c questionCmd) list(s streams, book trouble.Book, words *lang.Printer) error {
	var out strings.Builder
	for _, key := range book.Signs() {
		fmt.Fprintf(&out, "%-32s%s\n", key, words.Say("trouble.sign."+key, nil))
	}
	return s.print([]byte(out.String()))
}

// talk asks at the keyboard.
type talk struct {
	in    *bufio.Scanner
	s     streams
	words *lang.Printer
	book  trouble.Book
}

// line asks and reads one line; "" at the end of the input too.
func (t talk) line(ask string) string {
	fmt.Fprint(t.s.err, ask+" ")
	if !t.in.Scan() {
		return ""
	}
	return strings.TrimSpace(t.in.Text())
}

// have asks the concerns, what is seen, and then what splits the causes best, until there is enough.
func (t talk) have(q *trouble.Inquiry) {
	say := func(id string) string { return t.words.Say(id, nil) }
	for _, c := range trouble.Asked() {
		a := strings.ToLower(t.line(say("inquiry.concern."+string(c)) + " (" + say("inquiry.talk.concern") + ")"))
		if strings.HasPrefix(a, "y") || strings.HasPrefix(a, "s") {
			q.Concerns = append(q.Concerns, c)
		}
	}
	for len(q.Concerns) == 0 && q.Call.Facts() < trouble.MostFacts {
		word := t.line(say("inquiry.talk.find"))
		if word == "" {
			break
		}
		var keys []string
		for _, k := range t.book.Members(trouble.Seen) {
			if strings.Contains(strings.ToLower(say("trouble.sign."+k)), strings.ToLower(word)) && !slices.Contains(q.Call.Seen, k) {
				keys = append(keys, k)
			}
		}
		if keys == nil {
			fmt.Fprintln(t.s.err, say("inquiry.talk.nothing"))
			continue
		}
		if k := t.pick(keys, "inquiry.talk.pick"); k != "" {
			q.Call.Seen = append(q.Call.Seen, k)
		}
	}
	for len(q.Concerns) == 0 {
		o := t.book.Answer(q.Call)
		if !o.Asks {
			return
		}
		t.asked(q, o.Next)
	}
}

// asked puts one question and writes its answer down.
func (t talk) asked(q *trouble.Inquiry, n trouble.Question) {
	if n.Group != trouble.Seen {
		fmt.Fprintln(t.s.err, t.words.Say("inquiry.ask."+n.Group, nil))
		if k := t.pick(n.Signs, "inquiry.talk.which"); k != "" {
			q.Call.Is = append(q.Call.Is, k)
		} else {
			q.Call.Unknown = append(q.Call.Unknown, n.Group)
		}
		return
	}
	key := n.Signs[0]
	ask := t.words.Say("inquiry.ask.seen", finding.Args{"Sign": t.words.Say("trouble.sign."+key, nil)})
	switch a := strings.ToLower(t.line(ask + " (" + t.words.Say("inquiry.talk.concern", nil) + ")")); {
	case strings.HasPrefix(a, "y"), strings.HasPrefix(a, "s"):
		q.Call.Seen = append(q.Call.Seen, key)
	case strings.HasPrefix(a, "n"):
		q.Call.Not = append(q.Call.Not, key)
	default:
		q.Call.Unknown = append(q.Call.Unknown, key)
	}
}

// pick lists signs by number and reads one; "" where none was picked.
func (t talk) pick(keys []string, ask string) string {
	for i, k := range keys {
		fmt.Fprintf(t.s.err, "  %d  %s\n", i+1, t.words.Say("trouble.sign."+k, nil))
	}
	n, err := strconv.Atoi(t.line(t.words.Say(ask, nil)))
	if err != nil || n < 1 || n > len(keys) {
		return ""
	}
	return keys[n-1]
}
