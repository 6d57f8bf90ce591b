package web

import (
	"net/url"
	"regexp"
	"strings"
	"testing"

	"raftwright/plan"
	"raftwright/store"
)

// workshopOf gives a store with one bed, and what its workshop answers where a table of families is pressed.
func workshopOf(t *testing.T, length, width string) (kept *store.Store, press func(table string) string) {
	t.Helper()
	kept = emptyStore(t)
	server := serving(t, &House{Store: kept, Book: plan.DefaultBook(), Own: true})
	made := post(t, server.URL+"/beds", url.Values{"id": {store.NewID()}, "title": {"Invented"}, "site.place": {"04473"}, "bed.length": {length}, "bed.width": {width}})
	bed := regexp.MustCompile(`/beds/[0-9a-f-]{36}`).FindString(made.where)
	return kept, func(table string) string {
		return post(t, server.URL+bed+"/workshop", url.Values{"table": {table}}).body
	}
}

// A bed of a family keeps its seat under any other name, also where its kit has no number and is of nobody who comes.
func TestAFamilysBedIsKnownUnderAnotherName(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	kept, press := workshopOf(t, "8 ft", "4 ft")
	press("kit\nOAK\nELM\n")
	list, err := kept.Beds(t.Context(), store.Holder(), "", 10)
	if err != nil || len(list) != 3 {
		t.Fatal(list, err)
	}
	for _, b := range list {
		if !strings.HasSuffix(b.Title, " OAK") {
			continue
		}
		if b, err = kept.Bed(t.Context(), store.Holder(), b.ID); err == nil {
			_, err = kept.PutBrief(t.Context(), store.Holder(), store.NewID(), b.ID, b.Version, strings.ReplaceAll(b.Brief, b.Title, "By the shed"), b.Edition)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if body := press("kit\nELM\nASH\n"); !regexp.MustCompile(`href="/beds/[0-9a-f-]{36}">OAK<`).MatchString(body) {
		t.Error("of the seat whose bed has another name nothing is said")
	}
	press("kit\nOAK\nELM\nASH\n")
	if list, err = kept.Beds(t.Context(), store.Holder(), "", 10); err != nil || len(list) != 4 {
		t.Error(len(list), err)
	}
}

// The bed of a family that was removed is not made again by the button that makes the beds of the day, and holds back no other.
func TestAFamilysRemovedBedStaysRemoved(t *testing.T) {
	kept, press := workshopOf(t, "8 ft", "4 ft")
	press("kit\nOAK\nELM\n")
	list, err := kept.Beds(t.Context(), store.Holder(), "", 10)
	if err != nil || len(list) != 3 {
		t.Fatal(list, err)
	}
	for _, b := range list {
		if strings.HasSuffix(b.Title, " OAK") {
			if err := kept.RemoveBed(t.Context(), store.Holder(), store.NewID(), b.ID, b.Version); err != nil {
				t.Fatal(err)
			}
		}
	}
	if body := press("kit\nOAK\nELM\nASH\n"); !strings.Contains(body, "not made again: 1") || strings.Contains(body, "OAK</a>") {
		t.Error("nothing is said of the bed that was removed")
	}
	if list, err = kept.Beds(t.Context(), store.Holder(), "", 10); err != nil || len(list) != 3 { // the plan, ELM and ASH
		t.Error(len(list), err)
	}
}

// Families of one day may build beds of several sizes: the page names the sizes, and each family's bed is kept in its own.
func TestFamiliesOfOneDayMayHaveTwoSizes(t *testing.T) {
	kept, press := workshopOf(t, "97 in", "49 in")
	body := strings.ReplaceAll(press("kit,bed.length,bed.width\nOAK,,\nELM,49 in,25 in\n"), "\u00a0", " ")
	if !strings.Contains(body, "Size 1: 97 in × 49 in") || !strings.Contains(body, "Size 2: 49 in × 25 in") {
		t.Error("the page does not name the sizes")
	}
	list, err := kept.Beds(t.Context(), store.Holder(), "", 10)
	if err != nil || len(list) != 3 {
		t.Fatal(list, err)
	}
	for _, b := range list {
		if b, err = kept.Bed(t.Context(), store.Holder(), b.ID); err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(b.Title, " ELM") != strings.Contains(b.Brief, "25 in") {
			t.Errorf("%s: %s", b.Title, b.Brief)
		}
	}
}
