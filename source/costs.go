package source

func costs() []Entry {
	return []Entry{
		{ID: "lifetimes", Title: "Service life of boards, liners, foam, pots and meters", Standing: Practice,
			Note: "plain 6 mil film half a year to a year in full sun (a supplier's page, read), one to three years under a capped rim; the rest common practice, no source"},
	}
}
