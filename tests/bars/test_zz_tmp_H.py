import json, sys
sys.path.insert(0,'/work/main')
from tests.bars import test_matrix as m
import pytest
class P:
    pass
@pytest.mark.django_db
def test_make(request):
    import time_machine
    from django.db import transaction
    from tests import stored
    from tests.bars import world as worlds
    table = {r: {} for r in m.ROUTES}
    with time_machine.travel(stored.NOW, tick=False):
        for name in m.NAMES:
            sid = transaction.savepoint()
            w = worlds.build()
            for r, st in m.own(m.Walk(w, w.callers()[name]())).items(): table[r][name]=st
            transaction.savepoint_rollback(sid)
    open('/tmp/tp/H_table.json','w').write(json.dumps(table))
