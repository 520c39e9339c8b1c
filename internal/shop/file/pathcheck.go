package file

func (d *decoder) pathOf(e editAt) {}
