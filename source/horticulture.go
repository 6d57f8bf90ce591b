package source

func horticulture() []Entry {
	return []Entry{}
}
