package source

func mixing() []Entry {
	return []Entry{
		{ID: "iupac2021", Author: "Prohaska, T. et al. (IUPAC)", Title: "Standard atomic weights of the elements 2021, Pure Appl. Chem. 94(5):573-600", Year: "2022", Where: "abridged standard atomic weights", Note: "five-digit values, typed from memory and checked against molar masses in the chemistry reference"},
	}
}
