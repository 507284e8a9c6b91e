"""What could stand in for a yarn: `asked` reads which yarn is meant, a lot or one that she describes; `instead` asks
the search; `result` is what a person and a program get.
"""
