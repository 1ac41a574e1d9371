"""(written by its own room)"""
