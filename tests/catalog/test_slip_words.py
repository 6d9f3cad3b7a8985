from academy.catalog import slip_words


def test_no_slip_word_stands_twice_in_either_language():
    words = slip_words.load()
    for spoken in ([word.en for word in words], [word.es for word in words]):
        assert len(set(spoken)) == len(spoken)


def test_every_slip_word_is_one_lower_case_word():
    for word in slip_words.load():
        for text in (word.en, word.es):
            assert text.isalpha()
            assert text == text.lower()
