"""What moves a cost, what is in a tub, what has to be bought?"""
