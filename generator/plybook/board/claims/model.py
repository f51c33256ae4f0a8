class OutOfNodes(Exception): pass
