"""Everyday slips, typed into good seasons: how many of those that move a price does the program tell?"""
