package web

import (
	"slices"

	"raftwright/programme"
	"raftwright/store"
)

// pooled puts a slip of an event with few adults into the pool of its county and month, before it is kept: at the event it could tell who
// wrote it.
func (v *visit) pooled(f programme.Form, row []string, r *store.Record) error {
	at := func(column string) int {
		return slices.IndexFunc(f.Fields, func(c programme.Field) bool { return c.Name == column })
	}
	if f.Table != "slips" || row[at("event")] == "" {
		return nil
	}
	v.House.year.mutex.Lock()
	defer v.House.year.mutex.Unlock()
	if err := v.readBook(); err != nil {
		return err
	}
	events := v.House.year.records.Events
	i := slices.IndexFunc(events, func(e programme.Event) bool { return e.ID == row[at("event")] })
	if i < 0 {
		return nil // told as a fault
	}
	s := programme.Slip{Event: events[i].ID}.Pooled(events[i])
	for column, text := range map[string]string{"event": s.Event, "county": s.County, "month": s.Month} {
		row[at(column)], r.Row[at(column)].Text = text, text
	}
	return nil
}
